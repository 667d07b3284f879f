namespace AgeWatch.Core.Due;

/// <summary>Ageing by heat after Arrhenius, only ever shortening a life.</summary>
/// <remarks>
/// Factor exp[(Ea/k)·(1/Tref − 1/T)] in kelvin (NIST/SEMATECH e-Handbook 8.1.5.1). Each segment is held at 1 or more on
/// its own: time in the cold never makes up for time in the heat. It speaks of rubber and fluids, not of corrosion,
/// wear, light or ozone.
/// </remarks>
public static class Exposure
{
    /// <summary>Electronvolts per kelvin (CODATA).</summary>
    public const double Boltzmann = 8.617333262e-5;

    /// <summary>0 °C in kelvin.</summary>
    public const double ZeroCelsius = 273.15;

    /// <summary>A factor above this says "inspect now": the activation energy is too unsure for a computed day
    /// (practice).</summary>
    public const double Trusted = 4;

    /// <summary>How many times faster it ages than at the reference; below 1 in the cold.</summary>
    /// <param name="celsius">Above absolute zero.</param>
    /// <param name="activationEnergy">Electronvolts.</param>
    public static double Factor(
        double celsius, double referenceCelsius, double activationEnergy, double boltzmann = Boltzmann,
        double zero = ZeroCelsius) =>
        Math.Exp(activationEnergy / boltzmann * (1 / (referenceCelsius + zero) - 1 / (celsius + zero)));

    /// <summary>The age that counts: every stretch of time taken at its factor, never below 1.</summary>
    /// <param name="stretches">Time in any unit, and the temperature.</param>
    public static double EffectiveAge(
        IEnumerable<(double Time, double Celsius)> stretches, double referenceCelsius, double activationEnergy) =>
        stretches.Sum(stretch =>
            stretch.Time * Math.Max(1, Factor(stretch.Celsius, referenceCelsius, activationEnergy)));

    /// <summary>The day on which a life that would end on <paramref name="due"/> ends under a temperature
    /// history.</summary>
    /// <param name="lives">The histories of all the places where it was.</param>
    /// <param name="isEarly">For the early day the highest activation energy that is possible, for the late day the
    /// lowest.</param>
    /// <remarks>Factors are held at <see cref="Trusted"/>; a hotter segment also calls for an inspection. Never later
    /// than <paramref name="due"/>.</remarks>
    internal static DateOnly DueOn(
        IReadOnlyList<ExposureFacts> lives, DateOnly anchor, DateOnly due, bool isEarly)
    {
        var life = (double)(due.DayNumber - anchor.DayNumber);
        if (life <= 0)
        {
            return due;
        }

        int[] edges = [.. lives.SelectMany(facts => facts.Segments)
            .SelectMany(segment => new[] { segment.From.DayNumber, segment.Until.DayNumber + 1 })
            .Where(edge => edge > anchor.DayNumber && edge < due.DayNumber)
            .Append(due.DayNumber).Distinct().Order()];
        var from = anchor.DayNumber;
        foreach (var edge in edges)
        {
            var factor = At(lives, from, isEarly);
            var aged = (edge - from) * factor;
            if (aged >= life)
            {
                return DateOnly.FromDayNumber(from + (int)Math.Floor(life / factor));
            }

            life -= aged;
            from = edge;
        }

        return due;
    }

    /// <summary>The first segment too hot to be computed with, after the anchor, and the history it belongs to; null
    /// when there is none.</summary>
    internal static (ExposureSegment Segment, ExposureFacts Facts)? TooHot(
        IReadOnlyList<ExposureFacts> lives, DateOnly anchor)
    {
        (ExposureSegment Segment, ExposureFacts Facts)? first = null;
        foreach (var facts in lives)
        {
            foreach (var segment in facts.Segments)
            {
                if (segment.Until >= anchor && !(segment.From >= first?.Segment.From)
                    && Factor(segment.Celsius, facts.ReferenceCelsius, facts.Highest) > Trusted)
                {
                    first = (segment, facts);
                }
            }
        }

        return first;
    }

    /// <summary>The heat that the subject has seen: on every vehicle for as long as it was there.</summary>
    /// <remarks>A period that has not begun by the day on which the facts are stated is no fact yet; one that has is
    /// taken as it is stated. What a part saw before its first known day is taken from the vehicle it was first
    /// on.</remarks>
    internal static IReadOnlyList<ExposureFacts> Seen(DueQuestion question)
    {
        var here = question.Vehicle.Exposure;
        if (question.Subject is not ComponentFacts { Stays: { Count: > 1 } stays })
        {
            return here is not null && Counts(here) ? [Within(here, null, null, question.GoesOnUntil)] : [];
        }

        List<ExposureFacts> seen = [];
        for (var i = 0; i < stays.Count; i++)
        {
            var stay = stays[i];
            if ((stay.OnThisVehicle || stay.Until is null ? here : stay.Exposure) is { } facts && Counts(facts))
            {
                seen.Add(Within(facts, i == 0 ? null : stay.From, stay.Until, question.GoesOnUntil));
            }
        }

        return seen;
    }

    private static ExposureFacts Within(ExposureFacts facts, DateOnly? from, DateOnly? until, DateOnly? knownOn) =>
        facts with
        {
            Segments = [.. facts.Segments
                .Where(segment => !(segment.From > knownOn) && !(segment.From > until) && !(segment.Until < from))
                .Select(segment => segment with
                {
                    From = segment.From < from ? from.Value : segment.From,
                    Until = segment.Until > until ? until.Value : segment.Until,
                })],
        };

    internal static bool Counts(ExposureFacts facts) =>
        facts.ActivationEnergy > 0 && !string.IsNullOrWhiteSpace(facts.Source);

    // Of segments that overlap the hottest counts.
    private static double At(IReadOnlyList<ExposureFacts> lives, int day, bool isEarly)
    {
        var factor = 1.0;
        foreach (var facts in lives)
        {
            foreach (var segment in facts.Segments)
            {
                if (segment.From.DayNumber <= day && day <= segment.Until.DayNumber)
                {
                    factor = Math.Max(
                        factor,
                        Factor(segment.Celsius, facts.ReferenceCelsius, isEarly ? facts.Highest : facts.Lowest));
                }
            }
        }

        return Math.Min(factor, Trusted);
    }
}
