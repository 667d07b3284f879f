using AgeWatch.Server.Kernel.Time;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Nights;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

internal sealed record DueNight(Guid ClubId, DateOnly LocalDate);

/// <summary>Says which nights are to be worked on now. It only reads: however often it rings, nothing is done
/// twice.</summary>
internal sealed class PendingNights(AgeWatchContext db, TimeProvider clock)
{
    // A latest night lies at most two days behind the UTC day, three where a day was skipped.
    private const int OldestDays = 3;

    // A clock or a zone set back makes the day before latest again; its night has been overtaken. A clock that was
    // wrong by more has written days that must not keep the right ones from their night.
    private const int OvertakenDays = 2;

    /// <summary>
    /// For each club the latest night whose hour has come, also when the server was away for several; and today's, when
    /// an officer asked for it before its hour.
    /// </summary>
    public async Task<IReadOnlyList<DueNight>> FindAsync(CancellationToken stop)
    {
        var now = clock.GetUtcNow().UtcDateTime;
        var oldest = DateOnly.FromDateTime(now).AddDays(-OldestDays);
        var runs = await db.NightRuns.AsNoTracking().AcrossClubs().Where(n => n.LocalDate >= oldest)
            .ToDictionaryAsync(n => new DueNight(n.ClubId, n.LocalDate), stop);
        var clubs = await db.Clubs.AsNoTracking().AcrossClubs().OrderBy(c => c.ClubId).ToListAsync(stop);
        return
        [
            .. clubs.Select(club => Latest(club, now)).OfType<DueNight>()
                .Concat(clubs.Select(club => new DueNight(club.ClubId, ClubClock.DayOf(now, club.TimeZone)))
                    .Where(runs.ContainsKey))
                .Distinct()
                .Where(night => NightLog.IsWanted(runs.GetValueOrDefault(night), now) && !IsOvertaken(night)),
        ];

        bool IsOvertaken(DueNight night) => Enumerable.Range(1, OvertakenDays).Any(days =>
            runs.GetValueOrDefault(
                night with { LocalDate = night.LocalDate.AddDays(days) }) is { Status: NightRunStatus.Done });
    }

    /// <summary>The latest night of a club; null when the club is younger than that.</summary>
    public static DueNight? Latest(Club club, DateTime now)
    {
        var day = ClubClock.LatestNight(now, club.TimeZone, club.NightMinute);
        return ClubClock.NightOf(day, club.TimeZone, club.NightMinute) >= club.CreatedAt ? new(club.ClubId, day) : null;
    }
}
