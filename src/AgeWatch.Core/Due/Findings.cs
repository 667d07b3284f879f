namespace AgeWatch.Core.Due;

/// <summary>A finding with the grade that counts: the inspector's, or a worse one that a measured value asks for.</summary>
/// <param name="Broken">The threshold that made it worse; null when none did.</param>
internal readonly record struct GradedFinding(Finding Finding, FindingGrade Grade, Threshold? Broken);

/// <summary>Grades findings and drops those that later work has answered.</summary>
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

            graded.Add(Compare(finding, question, trail));
        }

        return graded;
    }

    private static GradedFinding Compare(Finding finding, DueQuestion question, DueTrail trail)
    {
        var result = new GradedFinding(finding, finding.Grade, null);
        if (finding.Measured is not { } measured)
        {
            return result;
        }

        var compared = false;
        string? quantity = measured.Quantity;
        foreach (var threshold in question.Kind.Thresholds)
        {
            if (measured.Quantity is null)
            {
                // Without a name the value can only be meant for the one thing the kind measures.
                quantity ??= threshold.Quantity;
            }

            var holds = threshold.Countries.Count == 0 || question.Vehicle.Country is not { } country
                || threshold.Countries.Contains(country, StringComparer.OrdinalIgnoreCase);
            if (!holds || !string.Equals(threshold.Quantity, quantity, StringComparison.OrdinalIgnoreCase)
                || Units.Convert(measured.Value, measured.Unit, threshold.Unit) is not { } value)
            {
                continue;
            }

            compared = true;
            if (!Keeps(value, threshold) && (result.Broken is null || threshold.Breaks > result.Grade))
            {
                result = new(finding, threshold.Breaks > result.Grade ? threshold.Breaks : result.Grade, threshold);
                trail.Note(new(DueNoteCode.ThresholdBroken, Finding: finding, Detail: threshold.Id));
            }
        }

        var ambiguous = measured.Quantity is null
            && question.Kind.Thresholds.Any(threshold => !string.Equals(threshold.Quantity, quantity, StringComparison.OrdinalIgnoreCase));
        if (!compared || ambiguous)
        {
            trail.Note(new(DueNoteCode.NotCompared, Finding: finding));
        }

        return result;
    }

    private static bool Keeps(decimal value, Threshold threshold) => threshold.Comparison switch
    {
        Comparison.AtLeast => value >= threshold.Value,
        Comparison.AtMost => value <= threshold.Value,
        Comparison.LessThan => value < threshold.Value,
        Comparison.Within => value >= threshold.Value && !(value > threshold.Upper),
    };
}

/// <summary>The few units that workshop measurements come in.</summary>
internal static class Units
{
    /// <summary>1 in = 25.4 mm exactly; Fahrenheit to Celsius exactly; null when the two units do not measure the same.</summary>
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

    private static (string? Dimension, decimal Value) Base(decimal value, string unit) => unit.Trim().ToUpperInvariant() switch
    {
        "MM" => ("length", value),
        "CM" => ("length", value * 10),
        "IN" or "\"" => ("length", value * 25.4m),
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
