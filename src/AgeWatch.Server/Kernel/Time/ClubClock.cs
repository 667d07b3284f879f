using NodaTime;
using NodaTime.TimeZones;

namespace AgeWatch.Server.Kernel.Time;

/// <summary>The club's local day, and the instant at which each local night starts.</summary>
internal static class ClubClock
{
    // Pinned: in a gap the wished time shifted by the gap, in an overlap the first of the two.
    private static readonly ZoneLocalMappingResolver Resolver =
        Resolvers.CreateMappingResolver(Resolvers.ReturnEarlier, Resolvers.ReturnForwardShifted);

    /// <summary>False for text that is no IANA zone id.</summary>
    public static bool IsZone(string id) => DateTimeZoneProviders.Tzdb.GetZoneOrNull(id) is not null;

    public static DateOnly Today(this TimeProvider clock, string zone) => DayOf(clock.GetUtcNow().UtcDateTime, zone);

    public static DateOnly DayOf(DateTime instant, string zone) =>
        Instant.FromDateTimeUtc(instant).InZone(DateTimeZoneProviders.Tzdb[zone]).Date.ToDateOnly();

    /// <summary>The instant of the night of a local day. A day that the zone skipped (Apia, 2011-12-30) has
    /// none.</summary>
    public static DateTime? NightOf(DateOnly day, string zone, int minuteAfterMidnight)
    {
        var tz = DateTimeZoneProviders.Tzdb[zone];
        var date = LocalDate.FromDateOnly(day);
        return Exists(date, tz)
            ? tz.ResolveLocal(date.AtMidnight().PlusMinutes(minuteAfterMidnight), Resolver).ToDateTimeUtc()
            : null;
    }

    /// <summary>The latest local day whose night has come; nights before it that were missed are not made up for one by
    /// one.</summary>
    public static DateOnly LatestNight(DateTime now, string zone, int minuteAfterMidnight)
    {
        // From tomorrow, because a zone can set its calendar back over a night that has been.
        for (var day = DayOf(now, zone).AddDays(1); ; day = day.AddDays(-1))
        {
            if (NightOf(day, zone, minuteAfterMidnight) <= now)
            {
                return day;
            }
        }
    }

    private static bool Exists(LocalDate date, DateTimeZone tz)
    {
        var midnight = tz.MapLocal(date.AtMidnight());
        return midnight.Count > 0 || midnight.LateInterval.IsoLocalStart.Date == date;
    }
}
