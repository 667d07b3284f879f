using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Server.Nights;
using AgeWatch.Server.Tests.Fixtures;
using AgeWatch.Storage;
using AgeWatch.Storage.Nights;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using static AgeWatch.Server.Tests.Nights.GivenNights;

namespace AgeWatch.Server.Tests.Nights;

/// <summary>The <c>--recompute</c> switch: a process of its own beside a server on the same database.</summary>
public sealed class RecomputeCommandTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory, OnBothDatabases]
    public async Task Everything_is_worked_out_again_beside_a_server_and_no_digest_is_written(DatabaseKind kind)
    {
        await using var database = await TestDatabase.CreateAsync(kind);
        (string, string)[] settings = [
            .. database.Settings, ("AGEWATCH_FIRST_KEY", KeyText.New()), ("AGEWATCH_LOG_LEVEL", "warning")];
        await using var server = await OutOfProcessApp.StartAsync([.. settings, ("AGEWATCH_LOG_LEVEL", "information")]);
        await database.GivenOwnersAsync(60);

        await using (var first = OutOfProcessApp.Launch(settings, RecomputeCommand.Switch))
        {
            Assert.True(await first.WaitForExitAsync() == 0, first.Output);
            Assert.Contains("120 answers, 120 changed, 120 rows written", first.Output, StringComparison.Ordinal);
        }

        await using (var second = OutOfProcessApp.Launch(settings, RecomputeCommand.Switch))
        {
            Assert.True(await second.WaitForExitAsync() == 0, second.Output);
            Assert.Contains("120 answers, 0 changed, 0 rows written", second.Output, StringComparison.Ordinal);
        }

        await using var db = database.Open();
        Assert.Equal(
            (120, 0, 0),
            (
                await db.DueStates.CountAsync(Stop), await db.Digests.CountAsync(Stop),
                await db.NightRuns.CountAsync(Stop)));
    }

    /// <summary>Borrowed and returned, a night is what it was: missing, waiting or done; one that runs is not to be
    /// had.</summary>
    [Theory, OnBothDatabases]
    public async Task A_night_is_borrowed_and_given_back_as_it_was(DatabaseKind kind)
    {
        await using var app = await TestApp.StartAsync(kind, null, Idle);
        DueNight night = new(await app.Database.ClubIdAsync(), FirstNight);
        await using var scope = app.Services.CreateAsyncScope();
        scope.ServiceProvider.GetRequiredService<AgeWatchContext>().EnterClub(night.ClubId);
        var log = scope.ServiceProvider.GetRequiredService<NightLog>();
        await using var db = app.Database.Open();

        await BorrowAndReturnAsync();
        Assert.Equal(0, await db.NightRuns.CountAsync(Stop));

        app.Clock.MoveTo("2026-11-26T03:30:00");
        Assert.Equal([FirstNight], await app.MinuteAsync());
        await BorrowAndReturnAsync();
        Assert.Equal(NightRunStatus.Done, (await app.Database.NightRowAsync(FirstNight)).Status);
        Assert.Empty(await app.MinuteAsync());

        async Task BorrowAndReturnAsync()
        {
            var borrowed = await log.BorrowAsync(night.ClubId, night.LocalDate, "pass", Stop);
            Assert.NotNull(borrowed);
            Assert.Null(await log.BorrowAsync(night.ClubId, night.LocalDate, "other", Stop));
            Assert.False(await app.NightAsync(night));
            await log.ReturnAsync(borrowed, Stop);
        }
    }
}
