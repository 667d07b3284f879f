using AgeWatch.Server.Kernel.Settings;
using AgeWatch.Storage;
using Hangfire;
using Hangfire.InMemory;
using Hangfire.PostgreSql;
using Microsoft.Extensions.DependencyInjection.Extensions;

namespace AgeWatch.Server.Nights;

/// <summary>The worker's timetable: every recurring job there is, and on what.</summary>
internal sealed class Schedule(IRecurringJobManager recurring, IServiceScopeFactory scopes, WorkerName worker)
    : IHostedService
{
    private const string EveryMinute = "* * * * *";

    public async Task StartAsync(CancellationToken cancellationToken)
    {
        await using var scope = scopes.CreateAsyncScope();
        await scope.ServiceProvider.GetRequiredService<NightLog>().ReleaseDeadAsync(worker, cancellationToken);
        recurring.AddOrUpdate<ScheduledJobs>(
            "night-pending", b => b.RingNightsAsync(CancellationToken.None), EveryMinute);
        recurring.Trigger("night-pending");
    }

    public Task StopAsync(CancellationToken cancellationToken) => Task.CompletedTask;
}

/// <summary>How fast Hangfire notices things on PostgreSQL. Fixed by design; a test may hurry it.</summary>
internal sealed record JobOptions
{
    public TimeSpan Poll { get; init; } = TimeSpan.FromSeconds(2);

    /// <summary>A killed holder's job or lock is another's after so long.</summary>
    public TimeSpan Lost { get; init; } = TimeSpan.FromMinutes(1);
}

internal static class ScheduleSetup
{
    private const string JobSchema = "agewatch_jobs";
    private const int NightWorkers = 2;

    public static void AddNights(this IServiceCollection services, DataOptions data, RoleOptions role)
    {
        services.TryAddSingleton(provider => WorkerName.New(provider.GetRequiredService<TimeProvider>()));
        services.AddScoped<NightLog>()
            .AddScoped<PendingNights>()
            .AddScoped<NightAssessment>()
            .AddScoped<NightReading>()
            .AddScoped<NightDigests>()
            .AddScoped<NightJob>();

        // A process that only serves tells it too: where every worker is away, nobody else would.
        services.AddScoped<NightCheck>().AddHealthChecks().AddCheck<NightCheck>("nights");
        if (!role.IsWorker)
        {
            return;
        }

        services.TryAddSingleton(new JobOptions());
        services.AddHangfire((provider, hangfire) => Store(
            hangfire.UseSimpleAssemblyNameTypeSerializer()
                .UseRecommendedSerializerSettings(), data, provider.GetRequiredService<JobOptions>()));
        services.AddScoped<ScheduledJobs>();

        // A long night must not keep others from being started.
        services.AddHangfireServer(server => Configure(server, ScheduledJobs.NightQueue, NightWorkers));
        services.AddHangfireServer(server => Configure(server, ScheduledJobs.BellQueue, 1));
        services.AddHostedService<Schedule>();
        services.AddHostedService<WorkerPulse>();
    }

    private static void Configure(BackgroundJobServerOptions server, string queue, int workers)
    {
        server.Queues = [queue];
        server.WorkerCount = workers;
        server.SchedulePollingInterval = TimeSpan.FromSeconds(5);
        server.ShutdownTimeout = TimeSpan.FromSeconds(20);
    }

    private static void Store(IGlobalConfiguration hangfire, DataOptions data, JobOptions jobs)
    {
        if (data.Kind == DatabaseKind.Sqlite)
        {
            hangfire.UseInMemoryStorage(new InMemoryStorageOptions { MaxExpirationTime = TimeSpan.FromHours(1) });
            return;
        }

        hangfire.UsePostgreSqlStorage(
            storage => storage.UseNpgsqlConnection(data.Connection),
            new PostgreSqlStorageOptions
            {
                SchemaName = JobSchema,

                // Without it a job that outlives the timeout is begun a second time while the first still runs.
                UseSlidingInvisibilityTimeout = true,
                InvisibilityTimeout = jobs.Lost,
                QueuePollInterval = jobs.Poll,
                DistributedLockTimeout = jobs.Lost,
            });
    }
}
