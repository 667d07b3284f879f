using AgeWatch.Storage.Clubs;
using Microsoft.AspNetCore.Authorization;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>What a route asks of a key. A route that states nothing is closed to everyone.</summary>
internal static class Rights
{
    private const string Reader = "reader";
    private const string Member = "member";
    private const string Officer = "officer";

    /// <summary>Any valid key.</summary>
    public static T ForReaders<T>(this T route)
        where T : IEndpointConventionBuilder => route.RequireAuthorization(Reader);

    /// <summary>Keys of members and officers.</summary>
    public static T ForMembers<T>(this T route)
        where T : IEndpointConventionBuilder => route.RequireAuthorization(Member);

    public static T ForOfficers<T>(this T route)
        where T : IEndpointConventionBuilder => route.RequireAuthorization(Officer);

    public static void AddKeys(this IServiceCollection services)
    {
        // Not AddAuthentication: that brings Data Protection, which writes a key ring outside the data folder.
        services.AddWebEncoders();
        services.AddSingleton<KeyLookup>().AddTransient<KeyAuthentication>();
        services.AddAuthenticationCore(options =>
        {
            options.DefaultScheme = KeyAuthentication.SchemeName;
            options.AddScheme<KeyAuthentication>(KeyAuthentication.SchemeName, displayName: null);
        });
        services.AddAuthorizationBuilder()
            .AddPolicy(Reader, policy => policy.RequireRole(Names(KeyRole.Officer, KeyRole.Member, KeyRole.Reader)))
            .AddPolicy(Member, policy => policy.RequireRole(Names(KeyRole.Officer, KeyRole.Member)))
            .AddPolicy(Officer, policy => policy.RequireRole(Names(KeyRole.Officer)))

            // Unknown addresses and wrong methods have no route; they are answered 404 and 405 to anyone.
            .SetFallbackPolicy(new AuthorizationPolicyBuilder()
                .RequireAssertion(request =>
                    request.Resource is HttpContext http && http.GetEndpoint() is not RouteEndpoint)
                .Build());
    }

    private static IEnumerable<string> Names(params KeyRole[] roles) => roles.Select(WireNames.Of);
}
