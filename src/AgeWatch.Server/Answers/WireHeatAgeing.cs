using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Answers;

/// <summary>Ageing by heat after Arrhenius. It never lengthens a life: time in the cold counts as ordinary
/// time.</summary>
/// <param name="ActivationEnergy">Electronvolts, as published for the material; 1 eV is 96.485 kJ/mol or 23.06
/// kcal/mol.</param>
/// <param name="Source">Where it was published.</param>
/// <param name="Spread">Electronvolts above and below; the early day takes the higher end, the late day the
/// lower.</param>
/// <param name="ReferenceCelsius">The temperature at which limits are taken to hold.</param>
/// <param name="Counts">Whether the temperatures on record count. Off unless it is said.</param>
internal sealed record WireHeatAgeing(
    [Range(0.001, 3)] decimal ActivationEnergy,
    [StringLength(500, MinimumLength = 1), OneLine] string Source,
    [Range(0, 3)] decimal Spread = 0,
    [Range(-60, 60)] decimal ReferenceCelsius = 20,
    bool Counts = false) : IChecked
{
    public void Check(FieldFaults faults)
    {
        if (string.IsNullOrWhiteSpace(Source))
        {
            faults.Add(nameof(Source), "missing", "An activation energy counts only with its source.");
        }
    }

    /// <summary>Null: it does not count.</summary>
    public static ExposureFacts? Facts(WireHeatAgeing? heat, IEnumerable<ExposureSegment> segments) =>
        heat is { Counts: true }
        ? new()
        {
            Segments = [.. segments],
            ActivationEnergy = (double)heat.ActivationEnergy,
            Spread = (double)heat.Spread,
            Source = heat.Source,
            ReferenceCelsius = (double)heat.ReferenceCelsius,
        }
        : null;
}
