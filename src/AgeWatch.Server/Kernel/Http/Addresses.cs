using AgeWatch.Server.Kernel.Settings;

namespace AgeWatch.Server.Kernel.Http;

internal static class Addresses
{
    /// <summary>
    /// What absolute links begin with: the operator's public address, else the one this request came to. Mail and
    /// webhooks must not use this: a Host header is the sender's to choose.
    /// </summary>
    public static string BaseAddress(this HttpContext http) =>
        http.RequestServices.GetRequiredService<WebOptions>().PublicBase
        ?? $"{http.Request.Scheme}://{http.Request.Host.ToUriComponent()}{http.Request.PathBase.ToUriComponent()}";
}
