using System.Net;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Mail;

/// <summary>
/// One-click unsubscribe (RFC 8058): a POST stops the mail, with no sign-in, cookie or redirect. A GET changes nothing,
/// because mail scanners follow every link, and shows a page with a button; and with another that closes the links in
/// the mails sent so far, because whoever has no key has no other way to.
/// </summary>
internal static class UnsubscribePage
{
    public const string Path = "/unsubscribe";

    private const string Field = "List-Unsubscribe";
    private const string Stop = "One-Click";
    private const string Again = "Resume";
    private const string Links = "Links";
    private const string Revoke = "Revoke";

    public static void MapUnsubscribe(this IEndpointRouteBuilder routes)
    {
        routes.MapGet(Path + "/{token}", ShowAsync).AllowAnonymous().ExcludeFromDescription();
        routes.MapPost(Path + "/{token}", ChangeAsync).AllowAnonymous().ExcludeFromDescription().DisableAntiforgery();
    }

    private static async Task<IResult> ShowAsync(
        string token, AgeWatchContext db, HttpResponse response, CancellationToken stop) =>
        await FindAsync(db, token, stop) is { } member
            ? Page(response, member.UnsubscribedAt is not null, areRevoked: false)
            : Problems.NotFound();

    private static async Task<IResult> ChangeAsync(
        string token, HttpRequest request, AgeWatchContext db, FactWriter writer, TimeProvider clock,
        CancellationToken stop)
    {
        if (!request.HasFormContentType)
        {
            return Problems.UnsupportedMediaType("multipart/form-data or application/x-www-form-urlencoded");
        }

        string? wish;
        bool areRevoked;
        try
        {
            var form = await request.ReadFormAsync(stop);
            wish = form[Field];
            areRevoked = form[Links] == Revoke && wish is null;
        }
        catch (InvalidDataException)
        {
            return Problems.MalformedBody("The form cannot be read.");
        }

        if (wish is not (Stop or Again) && !areRevoked)
        {
            return Problems.MalformedBody($"The form must hold {Field}={Stop}.");
        }

        if (await FindAsync(db, token, stop) is not { } member)
        {
            return Problems.NotFound();
        }

        if (areRevoked)
        {
            var now = clock.GetUtcNow().UtcDateTime;
            await writer.ChangeAsync<Member>(
                member.ClubId, member.Id, row => row.LinksRevokedAt = now, stop, by: member.Id);
            return Page(request.HttpContext.Response, member.UnsubscribedAt is not null, areRevoked);
        }

        var isStopped = wish == Stop;
        if (isStopped != member.UnsubscribedAt is not null)
        {
            await SetAsync(db, writer, member, isStopped ? clock.GetUtcNow().UtcDateTime : null, stop);
        }

        return Page(request.HttpContext.Response, isStopped, areRevoked);
    }

    private static Task<bool> SetAsync(
        AgeWatchContext db, FactWriter writer, Member member, DateTime? at, CancellationToken stop) =>
        writer.ChangeAsync<Member>(
            member.ClubId, member.Id, row => row.UnsubscribedAt = at, stop, by: member.Id, cause: async () =>
            {
                if (at is not null)
                {
                    await DropWaitingAsync(db, member, stop);
                }
            });

    // What waits was written before the wish; what a worker has in hand it looks up once more by itself.
    private static Task<int> DropWaitingAsync(AgeWatchContext db, Member member, CancellationToken stop) =>
        db.Digests
            .Where(d => d.MemberId == member.Id
                && d.State == SendState.Waiting
                && d.LeaseOwner == null)
            .ExecuteUpdateAsync(
                set => set.SetProperty(d => d.State, SendState.Dead)
                    .SetProperty(d => d.LastReply, "Not sent: the member has unsubscribed.")
                    .SetProperty(d => d.Version, d => d.Version + 1),
                stop);

    private static async Task<Member?> FindAsync(AgeWatchContext db, string token, CancellationToken stop)
    {
        var hash = KeyText.HashOf(token);
        var member = await db.AccessHashes.AsNoTracking().AcrossClubs()
            .Where(a => a.Hash == hash && a.Kind == AccessKind.Unsubscribe)
            .Join(db.Members, a =>
                new { a.ClubId, Id = a.TargetId }, m => new { m.ClubId, m.Id }, (_, member) => member)
            .AsNoTracking().SingleOrDefaultAsync(stop);
        if (member is not null)
        {
            db.EnterClub(member.ClubId);
        }

        return member;
    }

    private static IResult Page(HttpResponse response, bool isStopped, bool areRevoked)
    {
        var (heading, text, wish, button) = isStopped
            ? (
                "No more digests", "AgeWatch sends you no more digests. Your cars and their records stay as they are.",
                Again, "Send them again")
            : (
                "Stop the digests?", "AgeWatch sends you a digest when a part of your cars needs something.", Stop,
                "Stop them");
        response.Headers["X-Robots-Tag"] = "noindex";
        response.Headers.ContentSecurityPolicy =
            "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; frame-ancestors 'none'";
        return Results.Content(
            $$"""
            <!DOCTYPE html>
            <html lang="en">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <meta name="color-scheme" content="light dark">
            <title>{{WebUtility.HtmlEncode(heading)}} - AgeWatch</title>
            <style>
            body { font-family: sans-serif; font-size: 1.1rem; line-height: 1.5; max-width: 32rem; margin: 3rem auto; padding: 0 1rem; }
            h2 { font-size: 1.2rem; margin: 2rem 0 0.4rem; }
            button { font: inherit; padding: 0.6rem 1.2rem; }
            </style>
            </head>
            <body>
            <main>
            <h1>{{WebUtility.HtmlEncode(heading)}}</h1>
            <p>{{WebUtility.HtmlEncode(text)}}</p>
            <form method="post">
            <button type="submit" name="{{Field}}" value="{{wish}}">{{WebUtility.HtmlEncode(button)}}</button>
            </form>
            <h2>Links in these mails</h2>
            {{(areRevoked
                ? "<p>The links in all mails sent so far are closed. The next digest brings new ones.</p>"
                : $"""
                  <p>They open without a key. If a mail has come into other hands, close them.</p>
                  <form method="post">
                  <button type="submit" name="{Links}" value="{Revoke}">Close all links sent so far</button>
                  </form>
                  """)}}
            </main>
            </body>
            </html>
            """,
            "text/html; charset=utf-8");
    }
}
