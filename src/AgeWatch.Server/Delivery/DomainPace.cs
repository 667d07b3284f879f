using System.Collections.Concurrent;

namespace AgeWatch.Server.Delivery;

/// <summary>Leaves a mail domain alone for a while after it asked for patience, longer each time it asks again.</summary>
internal sealed class DomainPace(TimeProvider clock)
{
    private static readonly TimeSpan First = TimeSpan.FromSeconds(30);
    private const int MostDoublings = 5;

    private readonly ConcurrentDictionary<string, (DateTimeOffset Until, int Times)> _resting = new(StringComparer.OrdinalIgnoreCase);

    public static string DomainOf(string address) => address[(address.LastIndexOf('@') + 1)..];

    public bool IsResting(string domain) => _resting.TryGetValue(domain, out var rest) && clock.GetUtcNow() < rest.Until;

    public void Asked(string domain) => _resting.AddOrUpdate(
        domain,
        _ => (clock.GetUtcNow() + First, 1),
        (_, rest) => (clock.GetUtcNow() + First * (1 << Math.Min(rest.Times, MostDoublings)), rest.Times + 1));

    public void Answered(string domain) => _resting.TryRemove(domain, out _);
}
