using System.Reflection;
using AgeWatch.Server.Tests.Architecture;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata;

namespace AgeWatch.Server.Tests.Storing;

/// <summary>
/// What is read past EF is what EF reads: of every table a row with all that can be left out, and one with nothing left
/// out. The judge is EF's own untracked query.
/// </summary>
public sealed class RowBatchTests
{
    private static readonly MethodInfo Rows = typeof(RowBatch)
        .GetMethods()
        .Single(m => m.Name == nameof(RowBatch.Rows) && m.GetGenericArguments().Length == 2);
    private static readonly (Type Entity, Type Slice)[] Slices = [
        (typeof(Component), typeof(ComponentSlice)), (typeof(EvidenceItem), typeof(EvidenceSlice))];

    [Theory, OnBothDatabases]
    public async Task Every_table_is_read_as_the_model_has_it(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);
        await using var db = database.Open();
        await AnyRows.LiftRulesAsync(db);
        List<IEntityType> tables = [.. db.Model.GetEntityTypes()];
        foreach (var (number, isFull) in new[] { (1, true), (2, false) })
        {
            db.EnterClub(AnyRows.Numbered(number));
            db.AddRange(tables.Select(table => AnyRows.RowOf(table, number, isFull)));
            await db.SaveChangesAsync(TestContext.Current.CancellationToken);
            db.ChangeTracker.Clear();
        }

        foreach (var club in new[] { AnyRows.Numbered(1), AnyRows.Numbered(2) })
        {
            db.EnterClub(club);
            foreach (var (entity, slice) in tables.Select(table => (table.ClrType, table.ClrType)).Concat(Slices))
            {
                RowBatch read = new(db);

                // An OR is what would reach past the club if the condition were not held in brackets.
                var rows = (System.Collections.IList)Rows.MakeGenericMethod(entity, slice)
                    .Invoke(read, ["1 = 1 OR 1 = 1", ""])!;
                await read.ExecuteAsync(TestContext.Current.CancellationToken);

                var byEf = await AnyRows.ByEfAsync(db, entity);
                Assert.Equal(TenantModelTests.NotTenantOwned.Contains(entity) ? 2 : 1, byEf.Count);
                Assert.Equal(AnyRows.Shown(byEf, slice), AnyRows.Shown(rows.Cast<object>(), slice));
            }
        }
    }

    [Theory, OnBothDatabases]
    public async Task Lists_keep_to_their_statements(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);
        await using var db = database.Open();
        await AnyRows.LiftRulesAsync(db);
        var table = db.Model.FindEntityType(typeof(Fitting))!;
        List<Fitting> fittings = [.. Enumerable.Range(1, 3)
            .Select(i => (Fitting)AnyRows.RowOf(table, i, isFull: true))];
        foreach (var fitting in fittings)
        {
            typeof(Fitting).GetProperty(nameof(Fitting.ClubId))!.SetValue(fitting, AnyRows.Numbered(1));
        }

        db.EnterClub(AnyRows.Numbered(1));
        db.AddRange(fittings);
        await db.SaveChangesAsync(TestContext.Current.CancellationToken);

        RowBatch read = new RowBatch(db)
            .With("some", [fittings[0].Id, fittings[2].Id])
            .With("none", (IReadOnlyCollection<Guid>)[]);
        var none = read.Rows<Fitting>($"id {read.In("none")}");
        var some = read.Rows<Fitting>($"id {read.In("some")}");
        var components = read.Rows<Component>();
        var all = read.Rows<Fitting>();
        await read.ExecuteAsync(TestContext.Current.CancellationToken);

        Assert.Empty(none);
        Assert.Equal([fittings[0].Id, fittings[2].Id], some.Select(f => f.Id).Order());
        Assert.Empty(components);
        Assert.Equal(fittings.Select(f => f.Id), all.Select(f => f.Id).Order());
    }
}
