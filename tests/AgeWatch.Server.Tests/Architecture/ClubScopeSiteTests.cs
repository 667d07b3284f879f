using System.Text.RegularExpressions;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>
/// A query sees one club's rows, and that club is entered in one place for each way in. Where either is set aside
/// stands here with its reason: another place is a decision, and not to be made in passing.
/// </summary>
public sealed partial class ClubScopeSiteTests
{
    /// <summary>Queries over all clubs: the file, how many, and what for.</summary>
    private static readonly (string File, int Count, string Reason)[] Across =
    [
        ("FeedReader.cs", 1, "from the hash of a token to its feed, which tells the club"),
        ("UnsubscribePage.cs", 1, "from the hash of a token to its member, who tells the club"),
        ("KeyLookup.cs", 1, "from the hash of a key to the key, which tells the club"),
        ("KeyAuthentication.cs", 1, "the key's own row, after the answer has gone"),
        ("PendingNights.cs", 2, "which clubs' nights are wanted"),
        ("NightCheck.cs", 2, "which clubs' nights are late"),
        ("NightLog.cs", 2, "what a dead worker of this machine held, of whatever club"),
        ("RecomputeCommand.cs", 1, "goes through the clubs and enters each"),
        ("WebhookFanOut.cs", 1, "which webhooks are behind, and enters the club of each"),
        ("OutboxState.cs", 2, "the length of the queues, of all clubs together"),
        ("OutboxCheck.cs", 1, "whether any club's events wait too long"),
        ("WorkFigures.cs", 2, "counts for the metrics, of all clubs together"),
        ("DemoRun.cs", 1, "the first club, which it enters"),
        ("AgeWatchContext.Club.cs", 1, "AcrossClubs itself"),
    ];

    /// <summary>SQL of our own, which no filter reaches.</summary>
    private static readonly (string File, int Count, string Reason)[] Sql =
    [
        ("Database.cs", 11, "locks and the sequence check their club; schema, migrations and statistics have none"),
        ("Database.Bulk.cs", 2, "checks the club of each row that it writes"),
        ("RowBatch.cs", 2, "begins every condition with the club"),
        ("Claims.cs", 2, "looks for a club with work in the queue, then claims with that club"),
        ("DomainPace.cs", 1, "mail domains are of no club"),
        ("UnsubscribeTokens.cs", 1, "adds a hash, whose club is among its values"),
    ];

    /// <summary>Where a context learns its club.</summary>
    private static readonly (string File, int Count, string Reason)[] Entered =
    [
        ("KeyAuthentication.cs", 1, "the club of the key, for every request with one"),
        ("FeedReader.cs", 1, "the club of the feed whose token was shown"),
        ("UnsubscribePage.cs", 1, "the club of the member whose token was shown"),
        ("DigestPageEndpoint.cs", 1, "the club in a link that this server has signed"),
        ("NightJob.cs", 1, "the club whose night it is"),
        ("RecomputeCommand.cs", 1, "one club after the other"),
        ("WebhookFanOut.cs", 1, "one club after the other"),
        ("DigestOutbox.cs", 1, "the club of the claim"),
        ("DigestResults.cs", 1, "the club of the claim"),
        ("WebhookOutbox.cs", 1, "the club of the claim"),
        ("WebhookResults.cs", 1, "the club of the claim"),
        ("FirstStart.cs", 1, "the club that it makes"),
        ("DemoRun.cs", 1, "the demo's club"),
        ("AgeWatchContext.Club.cs", 1, "EnterClub itself"),
    ];

    [Fact]
    public void All_clubs_are_asked_only_here() => AssertOnly(Across, AcrossClubs());

    [Fact]
    public void Sql_of_our_own_is_only_here() => AssertOnly(Sql, OwnSql());

    [Fact]
    public void A_club_is_entered_only_here() => AssertOnly(Entered, EnterClub());

    private static void AssertOnly((string File, int Count, string Reason)[] known, Regex what) =>
        Assert.Equal(
            known.Select(site => $"{site.File} {site.Count}").Order(StringComparer.Ordinal),
            Repository.Files()
                .Where(file => file.StartsWith("src/", StringComparison.Ordinal)
                    && file.EndsWith(".cs", StringComparison.Ordinal)
                    && File.Exists(Repository.PathOf(file)))
                .Select(file => (
                    File: file.Split('/')[^1], Count: what.Count(File.ReadAllText(Repository.PathOf(file)))))
                .Where(site => site.Count > 0)
                .Select(site => $"{site.File} {site.Count}")
                .Order(StringComparer.Ordinal));

    [GeneratedRegex(@"\.(AcrossClubs|IgnoreQueryFilters)\(")]
    private static partial Regex AcrossClubs();

    [GeneratedRegex(@"\.(ExecuteSql|SqlQuery|FromSql)\w*(<\w+>)?\(|\.(CreateCommand|GetDbConnection)\(")]
    private static partial Regex OwnSql();

    [GeneratedRegex(@"\bEnterClub\(")]
    private static partial Regex EnterClub();
}
