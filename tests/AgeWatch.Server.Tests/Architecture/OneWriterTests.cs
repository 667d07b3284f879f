using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Vehicles;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Tests.Architecture;

/// <summary>The compiled server writes facts through the one writer and nowhere else.</summary>
public sealed class OneWriterTests
{
    /// <summary>All that writes past the writer, and why it may.</summary>
    private static readonly Dictionary<string, string> Sites = new()
    {
        ["FactWriter.SaveAsync SaveChangesAsync"] = "The writer.",

        // What the server keeps for its own work.
        ["SharedSecrets.SharedSecretAsync SaveChangesAsync"] = "A random number that its processes share.",
        ["WorkerPulse.BeatAsync SaveChangesAsync"] = "A worker's heartbeat.",
        ["NightLog.AddAsync SaveChangesAsync"] = "A night's own row.",
        ["NightAssessment.BeginPassAsync SaveChangesAsync"] = "How far a night has come.",
        ["KeyAuthentication.NoteUse Key"] = "The day of last use, written when the answer has gone.",
        ["FeedReader.OpenAsync Feed"] = "The day of last use.",
        ["FeedEntries.StampAsync SaveChangesAsync"] = "When what a feed tells has changed.",

        // What becomes of facts, and is told by an event where somebody must know.
        ["NightDigests.CommitAsync SaveChangesAsync"] = "A digest and its notices.",
        ["DigestResults.SuspendAsync Member"] = "The mail server refuses the address; an event tells it.",
        ["WebhookResults.AcceptAsync Webhook"] = "A run of failures has ended.",
        ["WebhookResults.RetryAsync Webhook"] = "A run of failures begins.",
        ["WebhookResults.DieAsync Webhook"] = "The receiver has failed for days; an event tells it.",
        ["WebhookFanOut.CatchUpAsync SaveChangesAsync"] = "Which events have their delivery.",
        ["WebhookEndpoints.Ping SaveChangesAsync"] = "A delivery, to be sent.",
        ["WebhookEndpoints.Redeliver SaveChangesAsync"] = "A delivery, to be sent once more.",

        // Statements of our own.
        ["Claim.TakeAsync ExecuteSqlRawAsync"] = "Who sends which delivery.",
        ["Claim.TakeAsync SqlQueryRaw"] = "Reads.",
        ["DomainPace.AskedAsync ExecuteSqlAsync"] = "How fast mail goes to a domain.",
        ["UnsubscribeTokens.AddressAsync ExecuteSqlAsync"] = "The hash of the address in a member's mails.",
    };

    private static readonly HashSet<string> FactNames = [.. FactKinds.All.Select(kind => kind.Name)];

    [Fact]
    public void Nothing_writes_facts_past_the_writer()
    {
        var found = Past(CompiledCalls.Read(typeof(Program).Assembly.Location));

        Assert.Empty(found.Except(Sites.Keys));
        Assert.Empty(Sites.Keys.Except(found)); // A place that no longer writes is to be crossed out.
    }

    /// <summary>The reader of these tests sees writes in an async method, in a lambda and in a generic one.</summary>
    [Fact]
    public void A_write_is_seen_wherever_it_stands()
    {
        var found = Past(CompiledCalls.Read(typeof(OneWriterTests).Assembly.Location));

        string[] examples = [
            "Examples.Awaited SaveChangesAsync", "Examples.InALambda Vehicle", "Examples.OfAnything !!0",
            "Examples.ByStatement ExecuteSqlAsync", "Examples.Bulk Vehicle"];
        Assert.Empty(examples.Except(found));
        Assert.DoesNotContain("Examples.OfNoFact Club", found);
    }

    /// <summary>Each record of a club is a fact of the change log, or something else that is named here.</summary>
    [Fact]
    public void Every_record_of_a_club_is_a_fact_or_is_not()
    {
        string[] others = ["Digest", "WebhookDelivery"];
        var records = typeof(AgeWatchContext).Assembly.GetTypes()
            .Where(type => type is { IsClass: true } && type.IsAssignableTo(typeof(ITenantRow)))
            .Select(type => type.Name);

        Assert.Equal(FactNames.Concat(others).Order(), records.Order());
    }

    private static List<string> Past(IEnumerable<CompiledCall> calls) =>
        [.. calls.Select(WriteOf).OfType<string>().Distinct().Order()];

    // Bulk writes say of which table they are; all others may hold a fact.
    private static string? WriteOf(CompiledCall call)
    {
        var method = call.To[(call.To.LastIndexOf('.') + 1)..];
        if (method is "ExecuteUpdate" or "ExecuteUpdateAsync" or "ExecuteDelete" or "ExecuteDeleteAsync" or "PutAsync")
        {
            return call.Of is [var table] && !table.StartsWith('!') && !FactNames.Contains(table)
                ? null
                : $"{call.From} {string.Join(", ", call.Of)}";
        }

        return method is "SaveChanges" or "SaveChangesAsync" or "CreateCommand"
            || method.StartsWith("ExecuteSql", StringComparison.Ordinal)
            || method.StartsWith("SqlQuery", StringComparison.Ordinal)
            || method.StartsWith("FromSql", StringComparison.Ordinal)
            ? $"{call.From} {method}"
            : null;
    }

    /// <summary>Never called: they are there to be found.</summary>
    private static class Examples
    {
        public static async Task Awaited(AgeWatchContext db) => await db.SaveChangesAsync();

        public static Func<Task> InALambda(AgeWatchContext db, string name) =>
            async () => await db.Vehicles.ExecuteUpdateAsync(set => set.SetProperty(v => v.Name, name));

        public static Task OfAnything<T>(AgeWatchContext db)
            where T : class =>
            db.Set<T>().ExecuteDeleteAsync();

        public static Task ByStatement(AgeWatchContext db) => db.Database.ExecuteSqlAsync($"DELETE FROM vehicles");

        public static Task Bulk(AgeWatchContext db, List<Vehicle> rows) => db.PutAsync(rows, default);

        public static Task OfNoFact(AgeWatchContext db) => db.Set<Club>().ExecuteDeleteAsync();
    }
}
