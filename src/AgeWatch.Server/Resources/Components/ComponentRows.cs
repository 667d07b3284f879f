using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage;
using AgeWatch.Storage.Components;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Components;

internal static class ComponentRows
{
    public static RouteGroupBuilder MapParts(this IEndpointRouteBuilder v1, string path) =>
        v1.MapResource(path, "Components", "Parts: what their age rests on, where they are and have been.");

    public static IQueryable<Component> Of(this AgeWatchContext db, Caller caller) =>
        db.Components;

    public static Task<Component?> FindComponentAsync(
        this AgeWatchContext db, Caller caller, Guid id, CancellationToken stop) =>
        db.Components.SingleOrDefaultAsync(c => c.Id == id, stop);

    public static async Task<FittingHistory> HistoryAsync(
        this AgeWatchContext db, Component component, CancellationToken stop) =>
        new(await db.Fittings.Where(f =>
            f.ComponentId == component.Id).ToListAsync(stop));

    public static async Task<ComponentReply> ToReplyAsync(
        this AgeWatchContext db, Component component, CancellationToken stop) =>
        ComponentReply.From(
            component,
            await db.Evidence.AsNoTracking()
                .Where(e => e.ComponentId == component.Id && e.WithdrawnAt == null)
                .OrderBy(e => e.Id).ToListAsync(stop),
            await db.Fittings.AsNoTracking()
                .Where(f => f.ComponentId == component.Id).ToListAsync(stop));

    public static Task<Page<ComponentReply>> ReadAsync(
        this AgeWatchContext db, PageQuery page, IQueryable<Component> components, CancellationToken stop) =>
            page.ReadAsync(
        components.AsNoTracking().AsSingleQuery(),
        Keyset.By((Component c) => c.Id),
        c => ComponentReply.From(
            c,
            db.Evidence.Where(e => e.ComponentId == c.Id && e.WithdrawnAt == null)
                .OrderBy(e => e.Id)
                .ToList(),
            db.Fittings.Where(f => f.ComponentId == c.Id).ToList()),
        stop);

    /// <summary>What hangs on a part or task moves its version, so that whoever has read it before is told.</summary>
    public static void Touch(this AgeWatchContext db, IVersioned subject, TimeProvider clock)
    {
        var updated = db.Entry(subject).Property<DateTime>(nameof(Component.UpdatedAt));
        updated.CurrentValue = clock.GetUtcNow().UtcDateTime;
        updated.IsModified = true;
    }

    public static IQueryable<Component> Narrow(this ComponentFilter filter, IQueryable<Component> components)
    {
        components = filter.PartKind is { } kind ? components.Where(c => c.PartKind == kind) : components;
        components = filter.Reference is { } reference ? components.Where(c => c.Reference == reference) : components;
        components = filter.Place is { } place ? components.Where(c => c.Place == place) : components;
        components = filter.VehicleId is { } vehicle ? components.Where(c => c.VehicleId == vehicle) : components;

        if (filter.Lot is { } lot)
        {
            var spellings = Spellings(lot);
            components = components.Where(c => spellings.Contains(c.Lot!) || spellings.Contains(c.Lot!.ToLower()));
        }

        if (filter.Maker is { } maker)
        {
            var spellings = Spellings(maker);
            components = components.Where(c => spellings.Contains(c.Maker!) || spellings.Contains(c.Maker!.ToLower()));
        }

        if (filter.PartNumber is { } number)
        {
            var spellings = Spellings(number);
            components = components.Where(c =>
                spellings.Contains(c.PartNumber!) || spellings.Contains(c.PartNumber!.ToLower()));
        }

        return components;
    }

    // SQLite lowers ASCII letters only, so the text as typed is tried beside the lowered one.
    private static List<string> Spellings(string text) => [text, text.ToLowerInvariant()];
}
