using System.Net;
using AgeWatch.Server.Kernel.Settings;

namespace AgeWatch.Server.Hosting;

/// <summary>The health check of a container: its image has neither a shell nor curl, so the program asks
/// itself.</summary>
internal static class HealthProbe
{
    public const string Switch = "--health";

    /// <returns>0 when the server with these settings is ready, else 1.</returns>
    public static async Task<int> RunAsync(string[] args)
    {
        ConfigurationManager configuration = new();
        configuration.AddJsonFile("appsettings.json", optional: true);
        configuration.AddAgeWatch(Environment.GetEnvironmentVariables(), args);
        using HttpClient client = new() { Timeout = TimeSpan.FromSeconds(4) };
        try
        {
            using var reply = await client.GetAsync(AddressOf(configuration.Read<WebOptions>()));
            return reply.IsSuccessStatusCode ? 0 : 1;
        }
        catch (Exception silent) when (silent is HttpRequestException or TaskCanceledException)
        {
            return 1;
        }
    }

    internal static Uri AddressOf(WebOptions web)
    {
        var url = web.Urls.Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)[0];
        UriBuilder address = new(url.Replace("//*", "//0.0.0.0", StringComparison.Ordinal)
            .Replace("//+", "//0.0.0.0", StringComparison.Ordinal))
        {
            Path = "/health/ready",
        };

        // One listens on any address, but asks a certain one.
        if (IPAddress.TryParse(address.Host.Trim('[', ']'), out var ip)
            && (ip.Equals(IPAddress.Any) || ip.Equals(IPAddress.IPv6Any)))
        {
            address.Host = "localhost";
        }

        return address.Uri;
    }
}
