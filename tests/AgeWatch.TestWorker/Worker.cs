using AgeWatch.Server;
using AgeWatch.Server.Nights;
using Hangfire;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;

namespace AgeWatch.TestWorker;

/// <summary>The program as it is shipped, with another clock put in where tests put in theirs. The first argument is
/// the clock's file.</summary>
internal static class Worker
{
    public static async Task<int> Main(string[] args)
    {
        SimulatedClock clock = new(args[0]);
        await using var app = Program.Build(args[1..], services =>
        {
            services.AddSingleton<TimeProvider>(clock);
            services.AddSingleton(new JobOptions
            {
                Poll = TimeSpan.FromMilliseconds(200),
                Lost = TimeSpan.FromSeconds(3)
            });
            services.AddHostedService<HastyBell>();
        });
        await Program.PrepareAsync(app);
        await app.StartAsync();
        await app.WaitForShutdownAsync();
        return 0;
    }

    /// <summary>The bell rings each real minute, which is a long time here.</summary>
    private sealed class HastyBell(JobStorage storage, IBackgroundJobClient jobs) : BackgroundService
    {
        protected override async Task ExecuteAsync(CancellationToken stoppingToken)
        {
            while (!stoppingToken.IsCancellationRequested)
            {
                try
                {
                    if (storage.GetMonitoringApi().EnqueuedCount(ScheduledJobs.BellQueue) == 0)
                    {
                        jobs.Enqueue<ScheduledJobs>(bells => bells.RingNightsAsync(CancellationToken.None));
                    }
                }
                catch (Exception) when (!stoppingToken.IsCancellationRequested)
                {
                    // The database is away; it will be back.
                }

                await Task.Delay(200, stoppingToken).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }
}
