using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Kernel.Secrets;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Mail;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Mail;
using Microsoft.EntityFrameworkCore;
using MimeKit;

namespace AgeWatch.Server.Nights;

/// <summary>Writes the digests of a night, each with its notices in one transaction. The unique key makes a second run
/// harmless.</summary>
internal sealed class NightDigests(
    AgeWatchContext db, NightReading reading, WebOptions web, MailOptions mail, MailSigner signer, TimeProvider clock)
{
    public const string MessageIdSecret = "message-ids";

    private const int FirstRevision = 1;
    private const int LongestNotice = 2000;

    // Enough that the ways to the database are few, and so few that their vehicles are no burden.
    private const int DigestsAtOnce = 50;

    public async Task RunAsync(NightLease lease, CancellationToken stop)
    {
        var club = await db.Clubs.AsNoTracking().SingleAsync(stop);
        var members = await db.Members.AsNoTracking()
            .OrderBy(m => m.Id)
            .ToListAsync(stop);
        var subscriptions = (await db.Subscriptions.AsNoTracking()
            .ToListAsync(stop))
            .Where(subscription => DigestDay.Falls(subscription, lease.LocalDate))
                .ToLookup(subscription => subscription.MemberId);
        Secrets secrets = new(
            Convert.FromBase64String(await db.SharedSecretAsync(MessageIdSecret, stop)),
            await DigestLinks.SecretAsync(db, stop));

        var written = (await db.Digests.AsNoTracking()
            .Where(d => d.LocalDate == lease.LocalDate && d.Revision == FirstRevision)
            .Select(d => new { d.MemberId, d.Kind }).ToListAsync(stop)).Select(d => (d.MemberId, d.Kind)).ToHashSet();
        foreach (var few in Wanted(members, subscriptions, lease.LocalDate)
            .Where(w => !written.Contains((w.Member.Id, w.Kind)))
            .Chunk(DigestsAtOnce))
        {
            List<DigestCandidates> all = [];
            foreach (var (member, kind, reach) in few)
            {
                stop.ThrowIfCancellationRequested();
                var cap = kind == DigestKind.Officer ? DigestSelection.OfficerCap : DigestSelection.MemberCap;
                all.Add(await reading.LookAsync(member, kind, reach, lease.LocalDate, cap, stop));
            }

            var storedVehicles = await reading.LoadAsync(lease.ClubId, all, stop);
            foreach (var (places, (_, _, reach)) in all.Zip(few))
            {
                stop.ThrowIfCancellationRequested();
                await WriteAsync(lease, club, places, reach, storedVehicles, secrets, stop);
            }
        }
    }

    /// <summary>Who may get which digest.</summary>
    private static IEnumerable<(Member Member, DigestKind Kind, DigestScope Reach)> Wanted(
        List<Member> members, ILookup<Guid, Subscription> subscriptions, DateOnly day)
    {
        // A lone owner needs no second mail that says the same as officer.
        var isLone = members.Count == 1;
        foreach (var member in members.Where(member => DigestDay.MayReach(member, day)))
        {
            var isDay = DigestDay.Falls(member, day);
            DigestScope reach = new(!isDay
                ? DigestReach.Nothing
                : isLone
                ? DigestReach.Everything
                : DigestReach.OwnVehicles, [.. subscriptions[member.Id]]);
            if (!reach.IsNothing)
            {
                yield return (member, DigestKind.Member, reach);
            }

            if (isDay && member.IsOfficer && !isLone)
            {
                yield return (member, DigestKind.Officer, new(DigestReach.Dangers, []));
            }
        }
    }

    private async Task WriteAsync(
        NightLease lease, Club club, DigestCandidates places, DigestScope reach, Dictionary<Guid,
            StoredVehicle> storedVehicles,
        Secrets secrets, CancellationToken stop)
    {
        var (member, kind, day) = (places.Member, places.Kind, lease.LocalDate);
        var mine = db.Digests.AsNoTracking()
            .Where(d => d.MemberId == member.Id && d.Kind == kind);
        var night = await reading.ReadAsync(places, storedVehicles, stop);
        var arrived = mine.Where(d => d.State != SendState.Dead);
        var previousRules = await arrived.OrderByDescending(d => d.LocalDate)
            .Select(d => d.RuleVersion)
            .FirstOrDefaultAsync(stop);
        IReadOnlyList<string> troubles = reach.Scope is DigestReach.Dangers or DigestReach.Everything
            ? await TroublesAsync(arrived, stop)
            : [];
        if (night.Choice.SaysNothing && troubles.Count == 0)
        {
            return;
        }

        var id = Guid.CreateVersion7(clock.GetUtcNow());
        var content = DigestComposer.Compose(
            club.Name, member.Name, day, night.Choice, night.Items, member.DistanceUnit, PartCatalogue.BuiltIn,
            vehicleId => Link(vehicleId),
            previousRules is { } rules && rules != PartCatalogue.BuiltIn.Version ? rules : null, troubles, Link(null));
        var unsubscribe = await UnsubscribeTokens.AddressAsync(db, web.PublicBase, club.ClubId, member.Id, stop);
        content = content with
        {
            MovedOff = [.. content.MovedOff, .. night.Gone.Select(gone => gone.Text)],
            UnsubscribeLink = unsubscribe
        };

        var messageId = MessageIds.Make(
            secrets.MessageIds, club.ClubId, member.Id, kind.ToString(), day, FirstRevision, mail.From.Domain);
        DigestEnvelope envelope = new(
            mail.From, new MailboxAddress(member.Name, member.Email!), content.Subject, messageId, clock.GetUtcNow(),
            club.Name,
            $"digest.{club.ClubId:n}.{mail.From.Domain}", UnsubscribeUrl: unsubscribe);
        db.Add(new Digest
        {
            ClubId = club.ClubId,
            Id = id,
            MemberId = member.Id,
            Kind = kind,
            LocalDate = day,
            Revision = FirstRevision,
            Recipient = member.Email!,
            Subject = content.Subject,
            MessageId = messageId,
            Message = DigestMail.Write(envelope, DigestText.Write(content), DigestHtml.Write(content), signer.Signer),
            RuleVersion = content.RuleVersion,
            Lines = content.Lines.Count + content.Unknowns.Count + content.DeferralsEnding.Count,
            HeldBack = content.HeldBack,
            CreatedAt = clock.GetUtcNow().UtcDateTime,
        });
        db.AddRange(Notices(club.ClubId, id, content, night));
        await CommitAsync(lease, stop);

        Uri? Link(Guid? vehicleId) =>
            web.PublicBase is { } address ? DigestLinks.Of(address, secrets.Links, club.ClubId, id, vehicleId) : null;
    }

    private async Task CommitAsync(NightLease lease, CancellationToken stop)
    {
        await using var transaction = await db.Database.BeginTransactionAsync(stop);
        try
        {
            await db.SaveChangesAsync(stop);
            await lease.CountAsync(stop, digests: 1);
            await transaction.CommitAsync(stop);
        }
        catch (DbUpdateException twin) when (twin.IsUniqueViolation())
        {
            // A worker that lost this night was a moment faster with this one; its digest stands.
        }
        finally
        {
            db.ChangeTracker.Clear();
        }
    }

    private static IEnumerable<Notice> Notices(Guid clubId, Guid digestId, DigestContent content, NightChoice night)
    {
        var times = night.Choice.Lines.Concat(night.Choice.Unknowns).Concat(night.Choice.DeferralsEnding)
            .ToDictionary(telling => telling.Subject.SubjectId, telling => telling.Times);
        var place = 0;
        foreach (var line in content.Lines.Concat(content.Unknowns).Concat(content.DeferralsEnding))
        {
            yield return Notice(
                line.SubjectId, line.State, line.Certainty, line.Force, times[line.SubjectId], line.Action);
        }

        // That it was put right is told once.
        foreach (var (subjectId, text) in night.Choice.MovedOff.Where(night.Items.ContainsKey)
            .Select(id => (id, DigestSentences.MovedOff(night.Items[id])))
                .Concat(night.Gone.Select(gone => (gone.SubjectId, gone.Text))))
        {
            yield return Notice(subjectId, DueState.InLife, Certainty.Certain, null, 1, text);
        }

        Notice Notice(
            Guid subjectId, DueState state, Certainty certainty, Force? force, int count, string text) => new()
            {
                ClubId = clubId,
                DigestId = digestId,
                SubjectId = subjectId,
                State = state,
                Certainty = certainty,
                Force = force,
                Place = ++place,
                Times = count,
                Shown = true,
                Text = text[..Math.Min(text.Length, LongestNotice)],
            };
    }

    /// <summary>What the mail server and the receivers have refused for good since the officer was last written
    /// to.</summary>
    private async Task<IReadOnlyList<string>> TroublesAsync(
        IQueryable<Digest> before, CancellationToken stop)
    {
        var since = await before.MaxAsync(d => (DateTime?)d.CreatedAt, stop) ?? DateTime.MinValue;
        var refused = await db.Members.AsNoTracking().Where(m => m.MailSuspendedAt > since)
            .OrderBy(m => m.Name).Select(m => new { m.Name, m.MailSuspendedReason }).ToListAsync(stop);
        var disabled = await db.Webhooks.AsNoTracking().Where(w => w.DisabledAt > since)
            .OrderBy(w => w.Name).Select(w => new { w.Name, w.DisabledReason }).ToListAsync(stop);
        return
        [
            .. refused.Select(m =>
                $"Mail to {m.Name} is stopped: the mail server refused the address ({m.MailSuspendedReason})."),
            .. disabled.Select(w => $"The webhook {w.Name} is disabled: {w.DisabledReason}"),
        ];
    }

    private sealed record Secrets(byte[] MessageIds, byte[] Links);
}
