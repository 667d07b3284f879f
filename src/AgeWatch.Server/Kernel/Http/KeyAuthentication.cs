using System.Data.Common;
using System.Security.Claims;
using System.Security.Cryptography;
using System.Text;
using System.Text.Encodings.Web;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Authentication;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Options;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>Bearer keys. They are looked up at each request, so a revoked key is dead at once.</summary>
internal sealed class KeyAuthentication(
    IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory loggers, UrlEncoder encoder,
    AgeWatchContext db, KeyLookup lookup, TimeProvider clock)
    : AuthenticationHandler<AuthenticationSchemeOptions>(options, loggers, encoder)
{
    public const string SchemeName = "Bearer";

    private static readonly string NoHash = new('0', 64);

    protected override async Task<AuthenticateResult> HandleAuthenticateAsync()
    {
        if (Presented() is not { } presented)
        {
            return AuthenticateResult.NoResult();
        }

        var hash = KeyText.HasForm(presented) ? KeyText.HashOf(presented) : NoHash;
        var found = await lookup.FindAsync(db, hash, Context.RequestAborted);
        var now = clock.GetUtcNow().UtcDateTime;
        var same = CryptographicOperations.FixedTimeEquals(
            Encoding.ASCII.GetBytes(hash), Encoding.ASCII.GetBytes(found?.Hash ?? NoHash));
        if (!same || found is null || found.RevokedAt <= now || found.ExpiresAt <= now)
        {
            return AuthenticateResult.Fail("The key is not valid.");
        }

        db.EnterClub(found.ClubId);
        NoteUse(found, DateOnly.FromDateTime(now));
        Context.Features.Set(new Caller(found.ClubId, found.KeyId, found.Role, found.MemberId));
        ClaimsIdentity identity = new([new(ClaimTypes.Role, WireNames.Of(found.Role))], SchemeName);
        return AuthenticateResult.Success(new(new ClaimsPrincipal(identity), SchemeName));
    }

    protected override Task HandleChallengeAsync(AuthenticationProperties properties)
    {
        Response.StatusCode = StatusCodes.Status401Unauthorized;
        Response.Headers.WWWAuthenticate = Presented() is null
            ? "Bearer realm=\"AgeWatch\""
            : "Bearer realm=\"AgeWatch\", error=\"invalid_token\"";
        return Task.CompletedTask;
    }

    private string? Presented() =>
        Request.Headers.Authorization is [{ } header]
            && header.StartsWith("Bearer ", StringComparison.OrdinalIgnoreCase)
            ? header["Bearer ".Length..].Trim()
            : null;

    // Kept to the day, and written after the answer has gone: whether a key still lives is worth knowing, not waiting
    // for.
    private void NoteUse(FoundKey found, DateOnly today)
    {
        if (found.LastUsedOn == today)
        {
            return;
        }

        Response.OnCompleted(async () =>
        {
            try
            {
                // A token in the address can have led into another club meanwhile.
                await db.Keys.AcrossClubs().Where(key => key.ClubId == found.ClubId && key.Id == found.KeyId)
                    .ExecuteUpdateAsync(set => set.SetProperty(key => key.LastUsedOn, today));
            }
            catch (DbException fault)
            {
                Logger.LogWarning(fault, "The day of last use of key {KeyId} could not be kept", found.KeyId);
            }
        });
    }
}
