using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Kernel.Checks;

internal static class Days
{
    /// <param name="today">The club's local day.</param>
    public static FieldError? InTheFuture(DateOnly? day, DateOnly today, string at) => day > today
        ? new("in-the-future", $"Must not be later than today ({today:yyyy-MM-dd}).", at)
        : null;
}
