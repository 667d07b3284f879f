using AgeWatch.Storage.Changes;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Components;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Due;
using AgeWatch.Storage.Feeds;
using AgeWatch.Storage.Mail;
using AgeWatch.Storage.Marks;
using AgeWatch.Storage.Nights;
using AgeWatch.Storage.Services;
using AgeWatch.Storage.Vehicles;
using AgeWatch.Storage.WalkRounds;
using AgeWatch.Storage.Webhooks;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage.ValueConversion;

namespace AgeWatch.Storage;

/// <summary>All that is remembered.</summary>
public sealed partial class AgeWatchContext(DbContextOptions<AgeWatchContext> options) : DbContext(options)
{
    public DbSet<Club> Clubs => Set<Club>();

    public DbSet<ClubCounter> ClubCounters => Set<ClubCounter>();

    public DbSet<Member> Members => Set<Member>();

    public DbSet<Key> Keys => Set<Key>();

    public DbSet<AccessHash> AccessHashes => Set<AccessHash>();

    public DbSet<ServerSecret> ServerSecrets => Set<ServerSecret>();

    public DbSet<WorkerHeartbeat> WorkerHeartbeats => Set<WorkerHeartbeat>();

    public DbSet<Vehicle> Vehicles => Set<Vehicle>();

    public DbSet<Instrument> Instruments => Set<Instrument>();

    public DbSet<OdometerReading> OdometerReadings => Set<OdometerReading>();

    public DbSet<HourReading> HourReadings => Set<HourReading>();

    public DbSet<VehiclePeriod> VehiclePeriods => Set<VehiclePeriod>();

    public DbSet<UsualDistance> UsualDistances => Set<UsualDistance>();

    public DbSet<WalkNote> WalkNotes => Set<WalkNote>();

    public DbSet<Component> Components => Set<Component>();

    public DbSet<Fitting> Fittings => Set<Fitting>();

    public DbSet<EvidenceItem> Evidence => Set<EvidenceItem>();

    public DbSet<ServiceTask> ServiceTasks => Set<ServiceTask>();

    public DbSet<ServiceRecord> ServiceRecords => Set<ServiceRecord>();

    public DbSet<OwnLimit> Limits => Set<OwnLimit>();

    public DbSet<InspectionFinding> Findings => Set<InspectionFinding>();

    public DbSet<GrantedDeferral> Deferrals => Set<GrantedDeferral>();

    public DbSet<SubjectState> DueStates => Set<SubjectState>();

    public DbSet<ChangeLogLine> Changes => Set<ChangeLogLine>();

    public DbSet<ClubConvention> ClubConventions => Set<ClubConvention>();

    public DbSet<NightRun> NightRuns => Set<NightRun>();

    public DbSet<FullPass> FullPasses => Set<FullPass>();

    public DbSet<Digest> Digests => Set<Digest>();

    public DbSet<Notice> Notices => Set<Notice>();

    public DbSet<Webhook> Webhooks => Set<Webhook>();

    public DbSet<WebhookDelivery> WebhookDeliveries => Set<WebhookDelivery>();

    public DbSet<ClubEvent> Events => Set<ClubEvent>();

    public DbSet<Feed> Feeds => Set<Feed>();

    public DbSet<FeedEntry> FeedEntries => Set<FeedEntry>();

    public DbSet<MailDomain> MailDomains => Set<MailDomain>();

    public DbSet<Subscription> Subscriptions => Set<Subscription>();

    public override int SaveChanges(bool acceptAllChangesOnSuccess)
    {
        CheckClubs();
        RaiseVersions();
        return base.SaveChanges(acceptAllChangesOnSuccess);
    }

    public override Task<int> SaveChangesAsync(
        bool acceptAllChangesOnSuccess, CancellationToken cancellationToken = default)
    {
        CheckClubs();
        RaiseVersions();
        return base.SaveChangesAsync(acceptAllChangesOnSuccess, cancellationToken);
    }

    protected override void OnModelCreating(ModelBuilder modelBuilder)
    {
        modelBuilder.ApplyConfigurationsFromAssembly(typeof(AgeWatchContext).Assembly);
        foreach (var entity in modelBuilder.Model.GetEntityTypes()
            .Where(e => typeof(IVersioned).IsAssignableFrom(e.ClrType)))
        {
            entity.FindProperty(nameof(IVersioned.Version))!.IsConcurrencyToken = true;
        }

        AddClubFilter(modelBuilder.Model);
    }

    protected override void ConfigureConventions(ModelConfigurationBuilder configurationBuilder)
    {
        // SQLite hands DateTime back without a kind, which Npgsql then refuses for timestamptz.
        configurationBuilder.Properties<DateTime>().HaveConversion<UtcConverter>();

        // Enums are stored by name unless the column must sort or compare, which its configuration then says.
        configurationBuilder.Properties<Enum>().HaveConversion<string>().HaveMaxLength(32);
    }

    private void RaiseVersions()
    {
        foreach (var entry in ChangeTracker.Entries<IVersioned>())
        {
            var version = entry.Property(e => e.Version);
            if (entry.State == EntityState.Added)
            {
                version.CurrentValue = 1;
            }
            else if (entry.State == EntityState.Modified)
            {
                version.CurrentValue = version.OriginalValue + 1;
            }
        }
    }

    private sealed class UtcConverter() : ValueConverter<DateTime, DateTime>(
        value => value.Kind == DateTimeKind.Utc ? value : DateTime.SpecifyKind(value, DateTimeKind.Utc),
        value => DateTime.SpecifyKind(value, DateTimeKind.Utc));
}
