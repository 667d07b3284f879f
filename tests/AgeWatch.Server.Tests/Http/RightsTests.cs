using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;

namespace AgeWatch.Server.Tests.Http;

/// <summary>
/// Whoever has a key reads, and an officer writes; every route that is otherwise stands here. A route states its role
/// once, or is open by a secret in its address.
/// </summary>
public sealed class RightsTests(SqliteHttp app) : IClassFixture<SqliteHttp>
{
    /// <summary>By the beginning of "method path"; the longest that fits counts.</summary>
    private static readonly Dictionary<string, string> Otherwise = new()
    {
        // They store nothing.
        ["POST /v1/calculations"] = "reader",

        // Names, addresses and secrets of people.
        ["GET /v1/members"] = "officer",
        ["GET /v1/keys"] = "officer",

        // A member's own: the handler leaves out what is another's.
        ["POST /v1/members/{id:guid}/revoke-links"] = "member",
        ["GET /v1/feeds"] = "member",
        ["POST /v1/feeds"] = "member",
        ["DELETE /v1/feeds"] = "member",
        ["GET /v1/subscriptions"] = "member",
        ["POST /v1/subscriptions"] = "member",
        ["PATCH /v1/subscriptions"] = "member",
        ["DELETE /v1/subscriptions"] = "member",
        ["GET /v1/digests"] = "member",

        // How the club's server is run.
        ["GET /v1/night-runs"] = "officer",
        ["GET /v1/webhooks"] = "officer",
        ["GET /v1/events"] = "officer",
    };

    // Routes of these tests.
    private static readonly string[] Samples = ["/v1/samples", "/v1/echo", "/v1/no-right"];

    [Fact]
    public void Every_route_states_one_role_and_the_right_one()
    {
        var routes = app.Services.GetRequiredService<EndpointDataSource>().Endpoints.OfType<RouteEndpoint>()
            .Select(route => (Path: $"/{route.RoutePattern.RawText!.TrimStart('/')}", Route: route))
            .Where(route => route.Path.StartsWith("/v1/", StringComparison.Ordinal)
                && !Samples.Any(sample => route.Path.StartsWith(sample, StringComparison.Ordinal))
                && route.Route.Metadata.GetMetadata<IAllowAnonymous>() is null)
            .SelectMany(route => route.Route.Metadata.GetMetadata<HttpMethodMetadata>()!.HttpMethods
                .Where(method => method != "HEAD")
                .Select(method => (
                    Name: $"{method} {route.Path.TrimEnd('/')}",
                    Roles: route.Route.Metadata.GetOrderedMetadata<IAuthorizeData>().Select(a => a.Policy))))
            .ToList();

        Assert.True(routes.Count > 100, $"{routes.Count} routes");
        Assert.Equal(
            routes.Select(route => $"{route.Name}: {RoleOf(route.Name)}"),
            routes.Select(route => $"{route.Name}: {string.Join(", ", route.Roles)}"));
        Assert.All(Otherwise.Keys, known => Assert.Contains(
            routes, route => route.Name.StartsWith(known, StringComparison.Ordinal)));
    }

    private static string RoleOf(string name) => Otherwise
        .Where(known => name.StartsWith(known.Key, StringComparison.Ordinal))
        .OrderByDescending(known => known.Key.Length)
        .Select(known => known.Value)
        .FirstOrDefault() ?? (name.StartsWith("GET ", StringComparison.Ordinal) ? "reader" : "officer");
}
