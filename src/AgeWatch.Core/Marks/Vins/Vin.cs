namespace AgeWatch.Core.Marks.Vins;

/// <summary>Vehicle identification numbers: check digit, model years, and what is wrong with one.</summary>
/// <remarks>
/// Sources: 49 CFR 565.15(c) Tables III to VI and (d)(1) Table VII with its note. I, O and Q never stand in a VIN, and
/// outside North America (ISO 3779) check digit and year letter are not mandatory: both from memory.
/// </remarks>
public static class Vin
{
    public const int Length = 17;

    /// <param name="text">As typed; blanks and dashes are left out.</param>
    /// <param name="country">Where the vehicle was first sold, ISO 3166-1 alpha-2; null when unknown.</param>
    /// <param name="light">
    /// Yes: a passenger car, or another vehicle up to 4,536 kg gross, for which position 7 tells the cycle of years.
    /// </param>
    public static VinReading Read(string text, string? country = null, YesNo light = YesNo.Unknown)
    {
        ArgumentNullException.ThrowIfNull(text);
        Span<char> clean = stackalloc char[MarkCleaner.Room];
        if (MarkCleaner.Clean(text, clean, out var length, out _, out _) is { } refusal)
        {
            return new()
            {
                Text = "",
                Verdict = VinVerdict.Unreadable,
                Notes = [new DroppedReading(null, null, refusal).Reason]
            };
        }

        Span<char> signs = stackalloc char[length];
        var count = 0;
        foreach (var sign in clean[..length])
        {
            if (sign is not (' ' or '-' or '.' or '/'))
            {
                signs[count++] = sign;
            }
        }

        return count == Length ? OfSeventeen(new(signs[..count]), country, light) : FreeForm(text.Trim());
    }

    /// <summary>Check digit by Tables III to V: 0 to 9 or X; null when a sign has no value or there are not
    /// 17.</summary>
    public static char? CheckDigit(ReadOnlySpan<char> vin)
    {
        if (vin.Length != Length)
        {
            return null;
        }

        var sum = 0;
        for (var i = 0; i < Length; i++)
        {
            var value = Value(vin[i]);
            if (value < 0)
            {
                return null;
            }

            sum += Weights[i] * value;
        }

        return sum % 11 == 10 ? 'X' : (char)('0' + sum % 11);
    }

    /// <summary>Years that a code in position 10 can stand for, 1980 to 2039; empty for I O Q U Z, 0 and other
    /// signs.</summary>
    /// <param name="position7">A figure is 1980 to 2009, a letter 2010 to 2039, for light vehicles only.</param>
    public static IReadOnlyList<int> ModelYears(char code, char position7, YesNo light)
    {
        var index = YearCodes.IndexOf(code, StringComparison.Ordinal);
        return index < 0 ? []
            : light != YesNo.Yes ? [1980 + index, 2010 + index]
            : [(char.IsAsciiDigit(position7) ? 1980 : 2010) + index];
    }

    private const string YearCodes = "ABCDEFGHJKLMNPRSTVWXY123456789";

    private static ReadOnlySpan<byte> Weights => [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

    /// <summary>Table III; -1 for a sign that it has not.</summary>
    private static int Value(char sign) => sign switch
    {
        >= '0' and <= '9' => sign - '0',
        >= 'A' and <= 'H' => sign - 'A' + 1,
        >= 'J' and <= 'N' => sign - 'J' + 1,
        'P' => 7,
        'R' => 9,
        >= 'S' and <= 'Z' => sign - 'S' + 2,
        _ => -1,
    };

    private static VinReading FreeForm(string text) => new()
    {
        Text = text,
        Verdict = VinVerdict.FreeForm,
        Notes =
            ["Not 17 signs, so not a VIN of today's form. Before the 1981 model year makers numbered as they liked; "
                + "it is kept as it is."],
    };

    private static VinReading OfSeventeen(string vin, string? country, YesNo light)
    {
        var faults = VinFaults.Of(vin);
        var years = ModelYears(vin[9], vin[6], light);
        if (faults.Count > 0)
        {
            return new()
            {
                Text = vin,
                Verdict = VinVerdict.Invalid,
                Faults = faults,
                ModelYears = years,
                Notes = VinFaults.AgreesWhenReplaced(vin, faults)
                    ? ["With the probable signs the check digit agrees; look again at the plate."]
                    : [],
            };
        }

        var computed = CheckDigit(vin)!.Value;
        var matches = vin[8] == computed;
        var required = country is null
            ? vin[0] is >= '1' and <= '5'
            : country.ToUpperInvariant() is "US" or "CA" or "MX";
        return new()
        {
            Text = vin,
            Verdict = matches ? VinVerdict.Valid : required ? VinVerdict.Invalid : VinVerdict.CheckDigitNotRequired,
            ComputedCheckDigit = computed,
            CheckDigitMatches = matches,
            ModelYears = years,
            Notes = [.. Notes(vin, matches, required, years.Count, light)],
        };
    }

    private static IEnumerable<string> Notes(string vin, bool matches, bool required, int years, YesNo light)
    {
        if (matches)
        {
            yield return "The check digit agrees. That is no proof: one wrong number in eleven agrees by chance, and "
                + "all zeros agree.";
        }
        else if (required)
        {
            yield return "The check digit does not agree: one sign at least is misread, or the number was made up.";
        }
        else
        {
            yield return "The check digit does not agree, but outside North America none is required.";
        }

        yield return years switch
        {
            0 => $"{vin[9]} in position 10 is not a model year code.",
            1 => "The model year is not the day of building; it can start more than half a year earlier.",
            _ when light == YesNo.No =>
                "Position 10 fits two model years; position 7 does not tell them apart on heavy vehicles.",
            _ => "Position 10 fits two model years; if it is a light vehicle, position 7 tells them apart.",
        };

        if (!required && years > 0)
        {
            yield return "Outside North America position 10 need not be a year.";
        }
    }
}
