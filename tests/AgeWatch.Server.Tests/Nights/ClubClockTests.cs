using System.Globalization;
using AgeWatch.Server.Kernel.Time;
using NodaTime;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>
/// When each night starts. Offsets and days of change are those of the IANA time zone database (files europe,
/// northamerica, australasia, southamerica); each instant is the local time less the offset, worked out by hand.
/// </summary>
public sealed class ClubClockTests
{
    /// <summary>In a gap the wished time is shifted by the gap; in an overlap the first of the two counts.</summary>
    [Theory]
    [InlineData("Europe/London", "2026-03-28", 90, "2026-03-28T01:30:00")] // GMT
    [InlineData("Europe/London", "2026-03-29", 90, "2026-03-29T01:30:00")] // 01:00-02:00 is skipped: 02:30 BST
    [InlineData("Europe/London", "2026-03-30", 90, "2026-03-30T00:30:00")] // BST
    [InlineData("Europe/London", "2026-10-25", 90, "2026-10-25T00:30:00")] // 01:00-02:00 comes twice: 01:30 BST
    [InlineData("America/New_York", "2026-03-08", 150, "2026-03-08T07:30:00")] // 02:00-03:00 is skipped: 03:30 EDT
    [InlineData("America/New_York", "2026-11-01", 90, "2026-11-01T05:30:00")] // 01:00-02:00 comes twice: 01:30 EDT
    // 02:00-02:30 is skipped: 02:45 at +11
    [InlineData("Australia/Lord_Howe", "2026-10-04", 135, "2026-10-03T15:45:00")]
    // 01:30-02:00 comes twice: 01:45 at +11
    [InlineData("Australia/Lord_Howe", "2026-04-05", 105, "2026-04-04T14:45:00")]
    // UTC-10 in summer, the last day before the line
    [InlineData("Pacific/Apia", "2011-12-29", 210, "2011-12-29T13:30:00")]
    [InlineData("Pacific/Apia", "2011-12-31", 210, "2011-12-30T13:30:00")] // UTC+14, the first day behind it
    [InlineData("America/Sao_Paulo", "2017-10-15", 0, "2017-10-15T03:00:00")] // midnight is skipped: 01:00 at -02
    // 23:30-00:30 is skipped: 00:45 EDT next day
    [InlineData("America/Toronto", "1919-03-30", 1425, "1919-03-31T04:45:00")]
    [InlineData("America/Toronto", "1919-03-31", 15, "1919-03-31T05:15:00")] // the same gap: 01:15 EDT
    [InlineData("Asia/Kathmandu", "2026-01-01", 210, "2025-12-31T21:45:00")] // +05:45
    public void A_night_starts_at(string zone, string day, int minute, string instant) =>
        Assert.Equal(
            DateTime.Parse(instant + "Z", CultureInfo.InvariantCulture, DateTimeStyles.RoundtripKind),
            ClubClock.NightOf(Day(day), zone, minute));

    [Theory]
    [InlineData("Pacific/Apia", "2011-12-30")]
    [InlineData("Pacific/Kwajalein", "1993-08-21")]
    public void A_day_that_was_skipped_has_no_night(string zone, string day)
    {
        Assert.All([0, 210, 1439], minute => Assert.Null(ClubClock.NightOf(Day(day), zone, minute)));
        Assert.Equal(
            Day(day).AddDays(-1),
            ClubClock.LatestNight(ClubClock.NightOf(Day(day).AddDays(1), zone, 210)!.Value.AddSeconds(-1), zone, 210));
    }

    /// <summary>Every day that exists has one night, and nights come in the order of their days, in every zone there
    /// is.</summary>
    [Theory]
    [InlineData(2011)]
    [InlineData(2026)]
    public void Nights_come_in_order_in_every_zone(int year)
    {
        foreach (var zone in DateTimeZoneProviders.Tzdb.Ids)
        {
            foreach (var minute in (int[])[0, 135, 1425])
            {
                DateTime? last = null;
                for (var day = new DateOnly(year, 1, 1); day.Year == year; day = day.AddDays(1))
                {
                    if (ClubClock.NightOf(day, zone, minute) is { } night)
                    {
                        Assert.True(!(night <= last), $"{zone} {day:O} {minute}");
                        last = night;
                    }
                    else
                    {
                        Assert.Equal(new DateOnly(2011, 12, 30), day);
                    }
                }
            }
        }
    }

    /// <summary>Minute by minute over both changes of the year, the latest night steps on just when a night
    /// starts.</summary>
    [Theory]
    [InlineData("Europe/London", "2026-03-29", 90)]
    [InlineData("Europe/London", "2026-10-25", 90)]
    [InlineData("America/New_York", "2026-03-08", 150)]
    [InlineData("America/New_York", "2026-11-01", 90)]
    [InlineData("Australia/Lord_Howe", "2026-10-04", 135)]
    [InlineData("Australia/Lord_Howe", "2026-04-05", 105)]
    [InlineData("Pacific/Apia", "2011-12-30", 210)]
    [InlineData("America/Toronto", "1919-03-31", 15)]
    public void The_latest_night_steps_on_when_a_night_starts(string zone, string around, int minute)
    {
        var middle = Day(around);
        var nights = Enumerable.Range(-3, 7).Select(days => middle.AddDays(days))
            .Select(day => (Day: day, At: ClubClock.NightOf(day, zone, minute)))
                .Where(night => night.At is not null)
                .ToList();
        var start = nights[0].At!.Value;
        List<(DateOnly Day, DateTime? At)> seen = [];
        for (var now = start; now <= nights[^1].At; now = now.AddMinutes(1))
        {
            var latest = ClubClock.LatestNight(now, zone, minute);
            if (seen.Count == 0 || seen[^1].Day != latest)
            {
                seen.Add((latest, now));
            }
        }

        Assert.Equal(nights, seen);
    }

    private static DateOnly Day(string day) => DateOnly.Parse(day, CultureInfo.InvariantCulture);
}
