using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;

namespace AgeWatch.Server.Tests.Records;

/// <summary>Each kind of fact through each door that can say it, valid and not, from fixed seeds: one verdict and one
/// code.</summary>
public sealed class OneVerdictTests
{
    // Hundreds over all kinds; on PostgreSQL a slice, for only what is looked up there can differ.
    private const int OnSqlite = 50;
    private const int OnPostgres = 12;

    [Theory]
    [OnBothDatabases("fitting")]
    [OnBothDatabases("mark")]
    [OnBothDatabases("document")]
    [OnBothDatabases("finding")]
    [OnBothDatabases("deferral")]
    [OnBothDatabases("service record")]
    [OnBothDatabases("odometer reading")]
    [OnBothDatabases("vehicle")]
    [OnBothDatabases("component")]
    [OnBothDatabases("spare")]
    public async Task Every_door_says_the_same(DatabaseKind database, string name)
    {
        await using var app = await TestApp.StartAsync(database);
        var kind = FactKinds.Of(name);
        Random random = new(name.Length);
        List<string> unlike = [];
        foreach (var i in Enumerable.Range(0, database == DatabaseKind.Sqlite ? OnSqlite : OnPostgres))
        {
            var flaw = i % 2 == 0 ? kind.Flaws[i / 2 % kind.Flaws.Count] : null;
            var fact = kind.Valid(random);
            flaw?.Spoil(fact);
            fact.AtFault = [.. (flaw?.Refused ?? []).Select(r => r.Member)];
            var expected = Door.Text(flaw?.Refused ?? []);
            foreach (var door in kind.Doors)
            {
                if (await door.VerdictAsync(app, fact) is { } verdict && verdict != expected)
                {
                    unlike.Add($"{door.Name}, {flaw?.Name ?? "valid"}: {verdict}, not {expected}.");
                }
            }
        }

        Assert.True(unlike.Count == 0, string.Join('\n', unlike.Distinct()));
    }
}
