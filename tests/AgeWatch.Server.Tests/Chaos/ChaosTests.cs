using System.Globalization;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Server.Tests.Nights;
using AgeWatch.Storage;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Nights;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Chaos;

/// <summary>Alone: its workers must not starve beside other tests, or they lose their leases as on a dying
/// machine.</summary>
[CollectionDefinition(DisableParallelization = true)]
public sealed class ChaosAlone;

/// <summary>
/// A month of nights with two workers on one PostgreSQL, killed at least thirty times, a mail server in every mood, and
/// the database crashed twice. Every digest is taken at least once and reaches the right person; it is taken twice only
/// where the reply was lost, and then it is the same to the last byte.
/// </summary>
[Collection(typeof(ChaosAlone))]
public sealed class ChaosTests(ITestOutputHelper output)
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(3);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_month_of_kills_and_bad_mail_loses_no_digest_and_doubles_none_without_cause()
    {
        var binaries = PostgresFixture.Binaries();
        var seed = int.TryParse(
            Environment.GetEnvironmentVariable("CHAOS_SEED"), CultureInfo.InvariantCulture, out var given)
            ? given
            : Random.Shared.Next();
        ChaosPlan plan = new(seed);
        output.WriteLine(plan.ToString());
        var expected = await UndisturbedMonthAsync();
        Assert.Superset(
            ChaosClub.Turns.ToHashSet(), expected.Select(digest => (digest.Recipient, digest.LocalDate)).ToHashSet());

        await using MoodyMailServer mail = new(plan);
        await using var month = await ChaosMonth.BeginAsync(binaries, plan, mail, Patience, output);
        for (var night = 0; night < ChaosPlan.Nights; night++)
        {
            await month.NightAsync(night);
        }

        Assert.True(month.Kills >= 30, $"{month.Kills} kills");
        output.WriteLine($"{month.Kills} kills, "
            + $"{string.Join(", ", mail.Moods.OrderBy(m => m.Key).Select(m => $"{m.Key} {m.Value}"))}");
        await using var db = month.Open();
        var digests = await db.Digests.AsNoTracking().ToListAsync(Stop);
        Assert.Equal(expected, digests.Select(Expected.Of).Order());
        Assert.All(digests, digest => Assert.Equal(SendState.Accepted, digest.State));
        var nights = await db.NightRuns.AsNoTracking().OrderBy(n => n.LocalDate).ToListAsync(Stop);
        Assert.Equal(Enumerable.Range(0, ChaosPlan.Nights)
            .Select(ChaosClub.FirstNight.AddDays), nights.Select(n => n.LocalDate));
        Assert.All(nights, n => Assert.Equal(NightRunStatus.Done, n.Status));
        JudgeMails(mail.Mails, digests, month);
    }

    private void JudgeMails(IReadOnlyList<Taken> mails, List<Digest> digests, ChaosMonth month)
    {
        var taken = mails.ToLookup(mail => mail.MessageId);
        Assert.Equal(digests.Count, taken.Count);
        var doubles = 0;
        foreach (var digest in digests)
        {
            var mine = taken[digest.MessageId].ToList();
            Assert.NotEmpty(mine);
            Assert.All(mine, mail => Assert.Equal(digest.Recipient, mail.Recipient));
            Assert.All(mine, mail => Assert.Equal(mine[0].Mail.Data, mail.Mail.Data));
            Assert.Equal(digest.Message, mine[0].Mail.Data);
            Assert.All(mine.SkipLast(1), mail => Assert.True(
                mail.IsReplyDropped || (!mail.IsSenderGoingOn && month.WasKilled(mail.Line)),
                $"{digest.Recipient} {digest.LocalDate:O} was sent again although its reply was read: line "
                    + $"{mail.Line}\n{month.Output}"));
            doubles += mine.Count - 1;
            if (digest.Kind == DigestKind.Member)
            {
                var text = mine[0].Mail.Text;
                Assert.All(Enumerable.Range(1, ChaosClub.Owners)
                    .Where(owner => ChaosClub.AddressOf(owner) != digest.Recipient), other =>
                    Assert.DoesNotContain(ChaosClub.CarOf(other), text, StringComparison.Ordinal));
            }
        }

        output.WriteLine($"{digests.Count} digests, taken {mails.Count} times, {doubles} doubles");
    }

    /// <summary>What the month brings when nothing goes wrong: one server, SQLite, no kill, no mail server.</summary>
    private static async Task<List<Expected>> UndisturbedMonthAsync()
    {
        await using var app = await TestApp.StartAsync(
            DatabaseKind.Sqlite, new(new(2026, 11, 30, 12, 0, 0, TimeSpan.Zero)), GivenNights.Idle);
        await using var db = app.Database.Open();
        await ChaosClub.FoundAsync(db, Stop);
        for (var night = 0; night < ChaosPlan.Nights; night++)
        {
            app.Clock.MoveTo(ChaosClub.FirstNight.AddDays(night)
                .ToDateTime(new(3, 31))
                .ToString("s", CultureInfo.InvariantCulture));
            Assert.Equal([ChaosClub.FirstNight.AddDays(night)], await app.MinuteAsync());
            await db.Digests.ExecuteUpdateAsync(set => set.SetProperty(d => d.State, SendState.Accepted), Stop);
        }

        return [.. (await db.Digests.AsNoTracking().ToListAsync(Stop)).Select(Expected.Of).Order()];
    }

    private sealed record Expected(string Recipient, DateOnly LocalDate, DigestKind Kind, string Subject, int Lines)
        : IComparable<Expected>
    {
        public static Expected Of(Digest d) => new(d.Recipient, d.LocalDate, d.Kind, d.Subject, d.Lines);

        public int CompareTo(Expected? other) =>
            (LocalDate, Recipient, Kind, Subject, Lines)
                .CompareTo((other!.LocalDate, other.Recipient, other.Kind, other.Subject, other.Lines));
    }
}
