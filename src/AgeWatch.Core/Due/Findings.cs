using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.Due;

/// <summary>A finding with the grade that counts: the inspector's, or a worse one that a measured value asks
/// for.</summary>
/// <param name="Broken">The threshold that made it worse; null when none did.</param>
internal readonly record struct GradedFinding(Finding Finding, FindingGrade Grade, Threshold? Broken);

/// <summary>Grades findings and drops those that later work has answered.</summary>
/// <remarks>
/// A measured value on the wrong side of a threshold makes a finding at least fail. Where the country or the class that
/// would pick the threshold is not known, every one that may hold is tried: a value that breaks the mildest fails, one
/// that breaks only the strictest is to be watched, unless countries alone differ: then the strictest holds.
/// </remarks>
internal static class Findings
{
    public static IReadOnlyList<GradedFinding> Grade(DueQuestion question, DateOnly? workDoneOn, DueTrail trail)
    {
        if (question.Subject.Findings.Count == 0)
        {
            return [];
        }

        List<GradedFinding> graded = new(question.Subject.Findings.Count);
        foreach (var finding in question.Subject.Findings)
        {
            if (trail.SetAside(finding.On, finding: finding))
            {
                continue;
            }

            if (finding.On <= workDoneOn)
            {
                trail.Note(new(DueNoteCode.FindingAnswered, Finding: finding, Days: DateSpan.Day(workDoneOn.Value)));
                continue;
            }

            graded.Add(finding.Measured is { } measured
                ? Compare(finding, measured, question, trail)
                : new(finding, finding.Grade, null));
        }

        return graded;
    }

    private static GradedFinding Compare(Finding finding, Measurement measured, DueQuestion question, DueTrail trail)
    {
        var candidates = Candidates(measured, question);
        Threshold? broken = null;
        HashSet<string?> kept = [];
        HashSet<string?> failed = [];
        foreach (var threshold in candidates)
        {
            if (Units.Convert(measured.Value, measured.Unit, threshold.Unit) is not { } value)
            {
                continue;
            }

            // A scale only reads a value: at its low end the part is to be watched, nowhere is it failed.
            var bad = threshold.Use == ThresholdUse.Scale
                ? threshold.Comparison is Comparison.AtMost or Comparison.Below && threshold.Passes(value)
                : !threshold.Passes(value);
            (bad ? failed : kept).Add(threshold.Case);
            broken = bad ? broken ?? threshold : broken;
        }

        if (broken is null)
        {
            if (kept.Count == 0)
            {
                trail.Note(new(DueNoteCode.NotCompared, Finding: finding));
            }

            return new(finding, finding.Grade, null);
        }

        kept.ExceptWith(failed);
        var watchOnly = broken.Use == ThresholdUse.Scale || (kept.Count > 0 && measured.Case is null);
        trail.Note(new(watchOnly
            ? DueNoteCode.ThresholdNear
            : DueNoteCode.ThresholdBroken, Finding: finding, Detail: broken.Id));
        if (watchOnly && broken.Use == ThresholdUse.Criterion)
        {
            trail.Ask(DueAskCode.WhichCase, string.Join(", ", failed.Concat(kept)));
        }

        var grade = watchOnly ? FindingGrade.Watch : FindingGrade.Fail;
        return new(finding, finding.Grade > grade ? finding.Grade : grade, broken);
    }

    /// <summary>The thresholds that may hold: of the measure, the class and the country, as far as these are
    /// known.</summary>
    private static Threshold[] Candidates(Measurement measured, DueQuestion question)
    {
        var measures = question.Kind.Thresholds.Where(threshold => threshold.Use != ThresholdUse.Interval).ToArray();
        var measure = measured.Measure
            ?? (measures.Select(threshold => threshold.Measure).Distinct().Count() == 1 ? measures[0].Measure : null);
        var named = measures.Where(threshold =>
            string.Equals(threshold.Measure, measure, StringComparison.OrdinalIgnoreCase)
            || string.Equals(threshold.Quantity, measure, StringComparison.OrdinalIgnoreCase)).ToArray();
        var inClass = named.Where(threshold =>
            measured.Case is null || threshold.Case is null
            || string.Equals(threshold.Case, measured.Case, StringComparison.OrdinalIgnoreCase)).ToArray();
        var here = inClass.Where(threshold =>
            Countries.Holds(threshold.Jurisdictions, question.Vehicle.Country)).ToArray();
        var holding = here.Length > 0 ? here : inClass;

        // Where only the country is open the classes are the same thing under two laws: the strictest decides alone.
        return holding.Select(threshold => threshold.Jurisdictions is [var first, ..] ? first : null)
            .Distinct()
            .Count() > 1
            ? [.. holding.Select(threshold => threshold with { Case = null })]
            : holding;
    }
}

/// <summary>Whether a rule holds in a country.</summary>
internal static class Countries
{
    private static readonly HashSet<string> Union = new(StringComparer.OrdinalIgnoreCase)
    {
        "AT", "BE", "BG", "HR", "CY", "CZ", "DK", "EE", "FI", "FR", "DE", "GR", "HU", "IE",
        "IT", "LV", "LT", "LU", "MT", "NL", "PL", "PT", "RO", "SK", "SI", "ES", "SE",
    };

    /// <param name="jurisdictions">ISO 3166-1 alpha-2 codes, or EU; empty: everywhere.</param>
    /// <param name="country">Null: not known, so it may hold.</param>
    public static bool Holds(IReadOnlyList<string> jurisdictions, string? country)
    {
        if (jurisdictions.Count == 0 || country is null)
        {
            return true;
        }

        foreach (var jurisdiction in jurisdictions)
        {
            if (string.Equals(jurisdiction, country, StringComparison.OrdinalIgnoreCase)
                || jurisdiction == "EU" && Union.Contains(country))
            {
                return true;
            }
        }

        return false;
    }
}

/// <summary>The few units that workshop measurements come in.</summary>
internal static class Units
{
    /// <summary>1 in = 25.4 mm exactly; Fahrenheit to Celsius exactly; null when the two units do not measure the
    /// same.</summary>
    public static decimal? Convert(decimal value, string from, string to)
    {
        if (string.Equals(from.Trim(), to.Trim(), StringComparison.OrdinalIgnoreCase))
        {
            return value;
        }

        var (a, inBase) = Base(value, from);
        var (b, one) = Base(1, to);
        var (_, zero) = Base(0, to);
        return a is null || a != b ? null : (inBase - zero) / (one - zero);
    }

    private static (string? Dimension, decimal Value) Base(decimal value, string unit) =>
        unit.Trim().ToUpperInvariant() switch
        {
            "MM" => ("length", value),
            "CM" => ("length", value * 10),
            "IN" or "INCH" or "\"" => ("length", value * 25.4m),
            "32NDS" or "1/32 IN" or "32ND" => ("length", value * 25.4m / 32),
            "C" or "°C" => ("temperature", value),
            "F" or "°F" => ("temperature", (value - 32) * 5 / 9),
            "V" => ("voltage", value),
            "MV" => ("voltage", value / 1000),
            "RATIO" => ("ratio", value),
            "%" => ("ratio", value / 100),
            _ => (null, value),
        };
}
