using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>An odometer on a vehicle.</summary>
/// <param name="Digits">Whole-number drums, without tenths.</param>
internal sealed record InstrumentRequest(
    [StringLength(64, MinimumLength = 1), OneLine] string Label,
    DistanceUnit Unit,
    [Range(3, 8)] int Digits,
    DateOnly? FittedOn = null,
    DateOnly? RemovedOn = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (RemovedOn < FittedOn)
        {
            faults.Add(nameof(RemovedOn), "before-fitted", "It cannot have been removed before it was fitted.");
        }
    }

    public void WriteTo(Instrument i)
    {
        i.Label = Label;
        i.Unit = Unit;
        i.Digits = Digits;
        i.FittedOn = FittedOn;
        i.RemovedOn = RemovedOn;
    }
}

internal sealed record InstrumentReply(
    Guid Id, string Label, DistanceUnit Unit, int Digits, DateOnly? FittedOn, DateOnly? RemovedOn)
{
    public static InstrumentReply From(Instrument i) => new(i.Id, i.Label, i.Unit, i.Digits, i.FittedOn, i.RemovedOn);
}
