using NodaTime;
using NodaTime.TimeZones;

namespace AgeWatch.Server.Nights;

/// <summary>The club's local day, and the instant at which each local night starts.</summary>
internal static class ClubClock
{
    // Pinned: in a gap the first instant after it shifted by the gap, in an overlap the first of the two.
    private static readonly ZoneLocalMappingResolver Resolver =
        Resolvers.CreateMappingResolver(Resolvers.ReturnEarlier, Resolvers.ReturnForwardShifted);

    /// <summary>False for text that is no IANA zone id.</summary>
    public static bool IsZone(string id) => DateTimeZoneProviders.Tzdb.GetZoneOrNull(id) is not null;

    public static DateOnly Today(this TimeProvider clock, string zone)
    {
        var local = Instant.FromDateTimeOffset(clock.GetUtcNow()).InZone(DateTimeZoneProviders.Tzdb[zone]);
        return local.Date.ToDateOnly();
    }

    /// <summary>The instant of the night of a local day. A day that the zone skipped (Apia, 2011-12-30) has none.</summary>
    public static DateTime? NightOf(DateOnly day, string zone, int minuteAfterMidnight)
    {
        var tz = DateTimeZoneProviders.Tzdb[zone];
        var local = LocalDate.FromDateOnly(day).AtMidnight().PlusMinutes(minuteAfterMidnight);
        var mapped = tz.ResolveLocal(local, Resolver);
        return mapped.Date == local.Date ? mapped.ToDateTimeUtc() : null;
    }
}
