using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Records;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>What an odometer showed.</summary>
/// <param name="Value">As the drums show it, in the instrument's unit.</param>
/// <param name="Instrument">The instrument's label, in a calculation its id; may be absent when only one was on the
/// vehicle that day.</param>
internal sealed record OdometerReadingRequest(
    DateOnly On,
    [Range(0, WireDistance.Greatest)] decimal Value,
    DistanceUnit Unit,
    [StringLength(64, MinimumLength = 1), OneLine] string? Instrument = null,
    [StringLength(200), OneLine] string? NotedBy = null)
{
    public OdometerReadingRecord ToRecord() => new() { On = On, Value = Value, Unit = Unit, Instrument = Instrument };

    public ShownDistance ToShown() => new(On, Value, Unit, Instrument);
}

/// <param name="Warnings">After a write: what does not fit the other readings. It is kept, and the worse of
/// what it can mean counts.</param>
/// <param name="Questions">What would settle that.</param>
internal sealed record OdometerReadingReply(
    Guid Id, DateOnly On, decimal Value, DistanceUnit Unit, Guid InstrumentId, string? NotedBy, DateTime CreatedAt,
    IReadOnlyList<string> Warnings, IReadOnlyList<string> Questions)
{
    public static OdometerReadingReply From(OdometerReading r, DistanceUnit unit) =>
        new(r.Id, r.ReadOn, r.Thousandths / 1000m, unit, r.InstrumentId, r.NotedBy, r.CreatedAt, [], []);
}
