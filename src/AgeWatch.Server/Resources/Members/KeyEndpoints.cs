using System.ComponentModel.DataAnnotations;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.Members;

/// <summary>Keys are made, listed and revoked; the text of one is shown once, when it is made.</summary>
internal static class KeyEndpoints
{
    public static void MapKeys(this IEndpointRouteBuilder v1)
    {
        var keys = v1.MapResource("/keys", "Keys", "What scripts sign in with.");
        keys.MapGet("", List).ForOfficers().Named("listKeys", "The keys of the club");
        keys.MapPost("", Create).ForOfficers().Named("createKey", "Make a key; its text is shown this once");
        keys.MapGet("/{id:guid}", Get).ForOfficers().Named("getKey", "One key");
        keys.MapDelete("/{id:guid}", Revoke).ForOfficers().Named("revokeKey", "Revoke a key");
    }

    private static Task<Page<KeyReply>> List(
        PageQuery page, AgeWatchContext db, CancellationToken stop) =>
        page.ReadAsync(db.Keys.AsNoTracking(), Keyset.By((Key k) => k.Id), k =>
            KeyReply.From(k), stop);

    private static async Task<Results<TaggedCreated<NewKeyReply>, Problem>> Create(
        Body<KeyRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        var wanted = body.Value;
        if (wanted.MemberId is { } member
            && !await db.Members.AnyAsync(m => m.Id == member, stop))
        {
            return Problems.Invalid("#/memberId", "no-such-member", "There is no such member in the club.");
        }

        var text = KeyText.New();
        var key = new Key
        {
            ClubId = caller.ClubId,
            Id = Guid.CreateVersion7(clock.GetUtcNow()),
            MemberId = wanted.MemberId,
            Role = wanted.Role,
            Name = wanted.Name,
            LastFour = text[^4..],
            CreatedAt = clock.GetUtcNow().UtcDateTime,
            ExpiresAt = wanted.ExpiresAt,
        };
        db.Keys.Add(key);
        db.AccessHashes.Add(new AccessHash
        {
            Hash = KeyText.HashOf(text),
            Kind = AccessKind.Key,
            ClubId = key.ClubId,
            TargetId = key.Id
        });
        await writer.SaveAsync(caller.ClubId, stop);
        return Reply.CreatedSecret($"/v1/keys/{key.Id}", key, new NewKeyReply(text, KeyReply.From(key)));
    }

    private static async Task<Results<Tagged<KeyReply>, Problem>> Get(
        Guid id, AgeWatchContext db, CancellationToken stop) =>
        await db.Keys.SingleOrDefaultAsync(k => k.Id == id, stop) is { } key
            ? Reply.Of(key, KeyReply.From(key))
            : Problems.NotFound();

    private static async Task<Results<NoContent, Problem>> Revoke(
        Guid id, IfMatch ifMatch, Caller caller, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (await db.Keys.SingleOrDefaultAsync(k => k.Id == id, stop) is not { } key)
        {
            return Problems.NotFound();
        }

        if (!ifMatch.Allows(key, out var problem))
        {
            return problem;
        }

        if (key.Id == caller.KeyId)
        {
            return Problems.Conflict(
                "A key cannot revoke itself: make another officer key first and revoke this one with it.");
        }

        key.RevokedAt ??= clock.GetUtcNow().UtcDateTime;
        await writer.SaveAsync(caller.ClubId, stop);
        return TypedResults.NoContent();
    }
}

internal sealed record KeyRequest(
    [StringLength(200, MinimumLength = 1), OneLine] string Name,
    KeyRole Role,
    Guid? MemberId = null,
    DateTime? ExpiresAt = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (Role == KeyRole.Member && MemberId is null)
        {
            faults.Add(nameof(MemberId), "missing", "A member's key must say whose it is.");
        }
    }
}

internal sealed record KeyReply(
    Guid Id, string Name, KeyRole Role, Guid? MemberId, string LastFour, DateTime CreatedAt, DateTime? ExpiresAt,
    DateTime? RevokedAt, DateOnly? LastUsedOn)
{
    public static KeyReply From(Key k) =>
        new(k.Id, k.Name, k.Role, k.MemberId, k.LastFour, k.CreatedAt, k.ExpiresAt, k.RevokedAt, k.LastUsedOn);
}

/// <param name="Key">Shown this once; only its hash is kept.</param>
internal sealed record NewKeyReply(string Key, KeyReply Details);
