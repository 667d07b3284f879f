using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Nights;

/// <summary>Says that this worker lives, for those who watch from outside.</summary>
internal sealed class WorkerPulse(
    IServiceScopeFactory scopes, WorkerName worker, TimeProvider clock, ILogger<WorkerPulse> log)
    : BackgroundService
{
    public static readonly TimeSpan Every = TimeSpan.FromSeconds(30);

    /// <summary>Names of workers that were killed are forgotten after so long.</summary>
    private static readonly TimeSpan Forget = TimeSpan.FromDays(1);

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using PeriodicTimer timer = new(Every, clock);
        try
        {
            do
            {
                try
                {
                    await BeatAsync(stoppingToken);
                }
                catch (Exception fault) when (!stoppingToken.IsCancellationRequested)
                {
                    // A database that is away for a moment must not end the pulse; the missing beats tell of it.
                    log.LogWarning("The worker could not say that it lives: {Fault}", fault.Message);
                }
            }
            while (await timer.WaitForNextTickAsync(stoppingToken));
        }
        catch (OperationCanceledException)
        {
            return;
        }
    }

    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        await base.StopAsync(cancellationToken);
        await using var scope = scopes.CreateAsyncScope();
        await Beats(scope).Where(h => h.Worker == worker.Value).ExecuteDeleteAsync(cancellationToken);
    }

    private async Task BeatAsync(CancellationToken stop)
    {
        await using var scope = scopes.CreateAsyncScope();
        var now = clock.GetUtcNow().UtcDateTime;
        if (await Beats(scope)
            .Where(h => h.Worker == worker.Value)
            .ExecuteUpdateAsync(set => set.SetProperty(h => h.At, now), stop) == 0)
        {
            var db = scope.ServiceProvider.GetRequiredService<AgeWatchContext>();
            db.Add(new WorkerHeartbeat { Worker = worker.Value, At = now });
            await db.SaveChangesAsync(stop);
        }

        var old = now - Forget;
        await Beats(scope).Where(h => h.At < old).ExecuteDeleteAsync(stop);
    }

    private static DbSet<WorkerHeartbeat> Beats(AsyncServiceScope scope) =>
        scope.ServiceProvider.GetRequiredService<AgeWatchContext>().WorkerHeartbeats;
}
