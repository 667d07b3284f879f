using AgeWatch.Core;
using AgeWatch.Storage.Clubs;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Vehicles;

public enum VehicleKind
{
    Car,
    Van,
    Motorcycle,
    Trailer,
    Caravan,
}

/// <summary>Where a vehicle is kept. It can shorten a life, never lengthen one.</summary>
public enum StoragePlace
{
    Unknown,
    Heated,
    Unheated,
    Outdoors,
}

public sealed class Vehicle : ITenantRow, IVersioned
{
    public required Guid ClubId { get; init; }

    public required Guid Id { get; init; }

    /// <summary>The owner; null: the club's own or not yet known.</summary>
    public Guid? MemberId { get; set; }

    public string? Reference { get; set; }

    public required string Name { get; set; }

    public VehicleKind Kind { get; set; }

    /// <summary>First and last day on which it can have been built; both null when unknown.</summary>
    public DateOnly? BuiltFirst { get; private set; }

    public DateOnly? BuiltLast { get; private set; }

    /// <summary>ISO 3166-1 alpha-2; whose law holds.</summary>
    public string? Country { get; set; }

    /// <summary>First registration: the day from which some countries count.</summary>
    public DateOnly? RegisteredOn { get; set; }

    public DistanceUnit DistanceUnit { get; set; }

    public string? Registration { get; set; }

    public string? Chassis { get; set; }

    public StoragePlace Storage { get; set; }

    /// <summary>Distance a year as the owner says, thousandths of a kilometre; null: not said.</summary>
    public long? DeclaredMetresPerYear { get; set; }

    /// <summary>First and last day of the season as MM-DD; both null: in use all year.</summary>
    public string? SeasonFrom { get; set; }

    public string? SeasonTo { get; set; }

    /// <summary>Whether the temperatures on record may shorten a life; the four below say how.</summary>
    public bool HeatCounts { get; set; }

    /// <summary>Activation energy, thousandths of an electronvolt; null: not said.</summary>
    public int? HeatEnergy { get; set; }

    public int HeatSpread { get; set; }

    /// <summary>Thousandths of a degree Celsius at which a limit is taken to hold.</summary>
    public int HeatReference { get; set; }

    /// <summary>Where the activation energy was published; it goes with it.</summary>
    public string? HeatSource { get; set; }

    /// <summary>Sold or scrapped on this day: the record stays, nobody is warned.</summary>
    public DateOnly? GoneOn { get; set; }

    public string? Notes { get; set; }

    public required DateTime CreatedAt { get; init; }

    public DateTime UpdatedAt { get; set; }

    public int Version { get; set; }

    public DateSpan? Built => BuiltFirst is { } first && BuiltLast is { } last ? new DateSpan(first, last) : null;

    public void SetBuilt(DateSpan? built) => (BuiltFirst, BuiltLast) = (built?.First, built?.Last);
}

internal sealed class VehicleConfiguration : IEntityTypeConfiguration<Vehicle>
{
    public void Configure(EntityTypeBuilder<Vehicle> vehicle)
    {
        vehicle.ToTable("vehicles", table =>
        {
            table.HasCheckConstraint(
                "ck_vehicles_built",
                "(built_first IS NULL) = (built_last IS NULL) AND (built_first IS NULL OR built_first <= built_last)");
            table.HasCheckConstraint("ck_vehicles_heat", "(heat_energy IS NULL) = (heat_source IS NULL)");
        });
        vehicle.HasTenantKey();
        vehicle.Ignore(v => v.Built);
        vehicle.Property(v => v.Reference).HasMaxLength(100);
        vehicle.Property(v => v.Name).HasMaxLength(200);
        vehicle.Property(v => v.Country).HasMaxLength(2);
        vehicle.Property(v => v.Registration).HasMaxLength(32);
        vehicle.Property(v => v.Chassis).HasMaxLength(64);
        vehicle.Property(v => v.SeasonFrom).HasMaxLength(5);
        vehicle.Property(v => v.SeasonTo).HasMaxLength(5);
        vehicle.Property(v => v.HeatSource).HasMaxLength(500);
        vehicle.Property(v => v.Notes).HasMaxLength(4000);
        vehicle.HasOne<Member>()
            .WithMany()
            .HasForeignKey(v => new { v.ClubId, v.MemberId })
            .OnDelete(DeleteBehavior.Restrict);
        vehicle.HasIndex(v => new { v.ClubId, v.Reference }).IsUnique();
    }
}
