using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Answers;

/// <summary>The fittings of one part in the order in which they happened.</summary>
internal sealed class FittingHistory
{
    private readonly List<Fitting> _fittings;

    public FittingHistory(IEnumerable<Fitting> fittings)
    {
        _fittings = [.. fittings];
        if (_fittings.Count > 1)
        {
            _fittings.Sort((a, b) => Order(a).CompareTo(Order(b)));
        }
    }

    public IReadOnlyList<Fitting> All => _fittings;

    public Fitting? Current => _fittings.FindLast(f => f.TakenOffOn is null);

    /// <summary>The last day on which it came off a vehicle.</summary>
    public DateOnly? LastTakenOffOn => _fittings.Max(f => f.TakenOffOn);

    /// <summary>
    /// The vehicle it was first seen on. A part with no evidence of its own is presumed as old as that one, wherever it
    /// goes later: moving it to a younger car must not make it look younger.
    /// </summary>
    public Guid? FirstVehicleId => _fittings is [var first, ..] ? first.VehicleId : null;

    /// <summary>
    /// The fitting that <paramref name="fitting"/> only carries on: taken off and put back on the same vehicle, which
    /// showed the same distance both times, and no other running hours. Its clocks then run on as if it had never been
    /// off (14 CFR 43.10 is the model).
    /// </summary>
    public Fitting? Continued(Fitting fitting) =>
        Before(fitting) is { } earlier && IsContinued(earlier, fitting) ? earlier : null;

    public Fitting? Before(Fitting fitting) => _fittings.IndexOf(fitting) is > 0 and var at ? _fittings[at - 1] : null;

    /// <summary>The fitting whose day starts the clock of <paramref name="fitting"/>.</summary>
    public Fitting Start(Fitting fitting)
    {
        while (Continued(fitting) is { } earlier)
        {
            fitting = earlier;
        }

        return fitting;
    }

    /// <summary>A later fitting that begins before an earlier one has ended.</summary>
    public bool Overlaps => _fittings.Zip(_fittings.Skip(1)).Any(pair =>
        pair.First.TakenOffOn is not { } off || (pair.Second.FittedOn ?? DateOnly.MinValue) < off);

    /// <summary>Whether it can have been on another vehicle on that day, so that what an instrument showed then was not
    /// this one's.</summary>
    public bool WasElsewhere(DateOnly on, Guid? vehicleId) =>
        _fittings.Exists(f => f.VehicleId != vehicleId && f.TakenOffOn >= on && !(f.FittedOn > on));

    private static (DateOnly, DateOnly, Guid) Order(Fitting f) =>
        (f.FittedOn ?? DateOnly.MinValue, f.TakenOffOn ?? DateOnly.MaxValue, f.Id);

    private static bool IsContinued(Fitting earlier, Fitting later) =>
        earlier.VehicleId == later.VehicleId
        && earlier.TakenOffAt() is { } off
        && later.FittedAt() is { } on
        && off.ToDistance() == on.ToDistance()
        && !(earlier.TakenOffHours is { } stopped && later.FittedHours is { } started && stopped != started);
}
