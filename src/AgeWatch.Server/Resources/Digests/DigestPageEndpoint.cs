using AgeWatch.Core.Catalogue;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Recording;
using AgeWatch.Server.Resources.StatusLists;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Due;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Digests;

/// <summary>
/// What a link in a digest opens: a page to read, without a key. It shows today's state of what its reader may be told
/// of now, so that a car that was sold or a role that was lost is out of its reach at once.
/// </summary>
internal static class DigestPageEndpoint
{
    private const int MostLines = 500;

    public static void MapLooks(this IEndpointRouteBuilder routes) =>
        routes.MapMethods(DigestLinks.Path + "/{token}", [HttpMethods.Get, HttpMethods.Head], ShowAsync)
            .AllowAnonymous()
            .ExcludeFromDescription();

    private static async Task<IResult> ShowAsync(
        string token, AgeWatchContext db, FactWriter writer, TimeProvider clock, CancellationToken stop)
    {
        var secret = await DigestLinks.SecretAsync(db, stop);
        if (DigestPageToken.Read(token, secret) is not { } look)
        {
            return DigestPage.Unknown;
        }

        db.EnterClub(look.ClubId);
        var found = await db.Digests.AsNoTracking().Where(d => d.Id == look.DigestId)
            .Join(
                db.Members, d => new { d.ClubId, Id = d.MemberId }, m => new { m.ClubId, m.Id },
                (digest, member) => new { Digest = digest, Member = member })
            .SingleOrDefaultAsync(stop);
        if (found is null)
        {
            return DigestPage.Closed;
        }

        var today = await writer.TodayAsync(look.ClubId, stop);
        if (!DigestLinks.AreOpen(found.Digest, found.Member, today))
        {
            return DigestPage.Closed;
        }

        var reach = await DigestScope.NowAsync(db, found.Member, found.Digest.Kind, stop);
        return reach.IsNothing ? DigestPage.Closed
            : look.VehicleId is { } vehicleId ? await VehicleAsync(
                db, clock, found.Digest, found.Member, reach, vehicleId, stop)
            : await ListAsync(db, secret, found.Digest, found.Member, reach, today, stop);
    }

    private static async Task<IResult> VehicleAsync(
        AgeWatchContext db, TimeProvider clock, Digest digest, Member member, DigestScope reach, Guid vehicleId,
        CancellationToken stop)
    {
        var within = (await reach.Rows(db, member, isOpen: false)
            .Where(s => s.VehicleId == vehicleId)
            .Select(s => s.SubjectId)
            .ToListAsync(stop)).ToHashSet();
        if (within.Count == 0 || await VehicleFile.ToAsync(db, clock, digest.ClubId, vehicleId, stop) is not { } file)
        {
            return DigestPage.Closed;
        }

        var list = StatusListReply.Of(file, file.Today, new StatusListQuery().WarningDays);
        var shown = list.WithoutPersons(within);
        return StatusListPage.OfLink(shown, DigestPage.Note(digest, list.Items.Count - shown.Items.Count));
    }

    private static async Task<IResult> ListAsync(
        AgeWatchContext db, byte[] secret, Digest digest, Member member, DigestScope reach, DateOnly today,
        CancellationToken stop)
    {
        var lines = await reach.Open(reach.Rows(db, member, isOpen: true)).OrderBy(s => s.Rank).ThenBy(s => s.SubjectId)
            .Take(MostLines + 1).ToListAsync(stop);
        var shown = lines.Take(MostLines).ToList();
        var vehicles = await VehiclesAsync(db, member, reach, shown, stop);
        var positions = await PositionsAsync(db, shown, stop);
        return DigestPage.List(
            digest,
            today,
            [
                .. shown.GroupBy(line => line.VehicleId).Select(group => new DigestPageGroup(
                    group.Key is { } id ? vehicles.GetValueOrDefault(id) ?? "" : null,
                    group.Key is { } vehicleId
                        ? new DigestPageToken(digest.ClubId, digest.Id, vehicleId).Write(secret)
                        : null,
                    [.. group.Select(line => new DigestPageLine(
                        PartCatalogue.BuiltIn.Find(line.PartKind)?.Name
                            ?? line.PartKind, positions.GetValueOrDefault(line.SubjectId), line))])),
                .. vehicles.Where(vehicle => shown.All(line => line.VehicleId != vehicle.Key))
                    .OrderBy(vehicle => vehicle.Value, StringComparer.Ordinal)
                    .Select(vehicle => new DigestPageGroup(
                        vehicle.Value, new DigestPageToken(digest.ClubId, digest.Id, vehicle.Key)
                        .Write(secret), [])),
            ],
            isCut: lines.Count > MostLines);
    }

    /// <summary>Names of those with a line, and of the reader's own without one.</summary>
    private static Task<Dictionary<Guid, string>> VehiclesAsync(
        AgeWatchContext db, Member member, DigestScope reach, List<SubjectState> lines, CancellationToken stop)
    {
        var ids = lines.Select(line => line.VehicleId).OfType<Guid>().Distinct().ToList();
        var isOwn = reach.Scope is DigestReach.OwnVehicles or DigestReach.Everything;
        var all = db.Vehicles.AsNoTracking();

        // Of a vehicle without anything on record no page could tell more than its name.
        return all.Where(v => ids.Contains(v.Id)
                || (isOwn
                    && v.MemberId == member.Id
                    && db.DueStates.Any(s => s.VehicleId == v.Id)))
            .ToDictionaryAsync(v => v.Id, v => v.Name, stop);
    }

    private static async Task<Dictionary<Guid, string?>> PositionsAsync(
        AgeWatchContext db, List<SubjectState> lines, CancellationToken stop)
    {
        var ids = lines.Where(line => line.SubjectKind == SubjectKind.Component)
            .Select(line => line.SubjectId)
            .ToList();
        return await db.Components.AsNoTracking()
            .Where(c => ids.Contains(c.Id) && c.Position != null)
            .ToDictionaryAsync(c => c.Id, c => c.Position, stop);
    }
}
