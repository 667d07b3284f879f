using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Usage;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Storage.Vehicles;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>What hardly any vehicle of the kind exceeds in a year.</summary>
/// <param name="PerYear">A high figure keeps the early day early; a mean would be too low for every other
/// vehicle.</param>
/// <param name="Note">Where the figure comes from.</param>
internal sealed record UsualDistanceRequest(
    VehicleKind Kind, WireDistance PerYear, [StringLength(1000, MinimumLength = 1), OneLine] string? Note = null)
        : IChecked
{
    public static UsualDistanceRequest From(UsualDistance u) =>
        new(u.Kind, WireDistance.From(new Distance(u.Metres / 1000m), u.Unit), u.Note);

    public void Check(FieldFaults faults)
    {
        if (PerYear is { Value: 0 })
        {
            faults.Add(nameof(PerYear), "out-of-range", "Must be more than nothing.");
        }
    }

    public void WriteTo(UsualDistance u, DateTime now)
    {
        // Upwards: stored, it must not get less.
        u.Metres = (long)decimal.Ceiling(PerYear.ToDistance().Kilometres * 1000m);
        u.Unit = PerYear.Unit;
        u.Note = Note;
        u.UpdatedAt = now;
    }
}

internal sealed record UsualDistanceReply(
    Guid Id, VehicleKind Kind, WireDistance PerYear, string? Note, DateTime UpdatedAt)
{
    public static UsualDistanceReply From(UsualDistance u) =>
        new(u.Id, u.Kind, WireDistance.From(new Distance(u.Metres / 1000m), u.Unit), u.Note, u.UpdatedAt);
}

/// <param name="Share">Of the vehicles counted, so many do not exceed the figure.</param>
internal sealed record UsualSuggestionsReply(double Share, IReadOnlyList<UsualSuggestionReply> Items);

/// <param name="Vehicles">Vehicles with at least three readings apart, which have a rate of their own.</param>
/// <param name="PerYear">What the share of them does not exceed; with fewer than 20 the most that one of them
/// does.</param>
/// <param name="Median">What half of them do not exceed; too low for the others.</param>
internal sealed record UsualSuggestionReply(VehicleKind Kind, int Vehicles, WireDistance PerYear, WireDistance Median)
{
    public static UsualSuggestionReply Of(VehicleKind kind, IReadOnlyList<Distance> perYear, DistanceUnit unit)
    {
        return new(kind, perYear.Count, At(YearlyUse.HighShare), At(0.5));

        // Upwards to the whole unit: nobody drives to the metre, and a figure to be taken over must not get less.
        WireDistance At(double share) =>
            new(decimal.Ceiling(YearlyUse.NotExceededBy(perYear, share)!.Value.In(unit)), unit);
    }
}
