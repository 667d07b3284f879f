using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>How warm it was kept from one day to another, both included.</summary>
/// <param name="Celsius">Mean kinetic temperature; an ordinary mean over warm and cold days reads too low.</param>
/// <param name="To">Absent: it goes on as it is.</param>
internal sealed record WireTemperature(DateOnly From, [Range(-60, 100)] decimal Celsius, DateOnly? To = null) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (To < From)
        {
            faults.Add(nameof(To), "before-from", "It cannot end before it starts.");
        }
    }

    public ExposureSegment ToSegment() => new(From, To ?? DateOnly.MaxValue, (double)Celsius);
}
