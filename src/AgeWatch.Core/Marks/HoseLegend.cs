using System.Globalization;

namespace AgeWatch.Core.Marks;

/// <summary>Finds the date among the other signs of a hose legend: DOT ACME 10/1/96 1/8 HL.</summary>
/// <remarks>Source: 49 CFR 571.106 S5.2.2: DOT, the maker, the date, the bore as a fraction of an inch, HL or
/// HR.</remarks>
internal static class HoseLegend
{
    /// <summary>
    /// One date only, with the day or without. A pair that can be a bore (3/16) is never taken for a date: it would
    /// make an undated hose look young.
    /// </summary>
    /// <param name="day">The default when the legend has month and year only.</param>
    public static bool TryFind(ReadOnlySpan<Piece> pieces, out Piece month, out Piece day, out Piece year)
    {
        month = day = year = default;
        int days = 0, months = 0;
        for (var i = 0; i < pieces.Length;)
        {
            var run = RunAt(pieces[i..]);
            var numbers = pieces[i..(i + run)];
            if (numbers is [{ IsShort: true }, _, { IsShort: true }, _, { IsYear: true }])
            {
                (month, day, year) = (numbers[0], numbers[2], numbers[4]);
                days++;
            }
            else if (days == 0
                && numbers is [{ IsShort: true }, _, { IsYear: true }]
                && !IsBore(numbers[0], numbers[2]))
            {
                (month, year) = (numbers[0], numbers[2]);
                months++;
            }

            i += Math.Max(run, 1);
        }

        return days == 1 || (days == 0 && months == 1);
    }

    /// <summary>The whole text is a fraction of an inch. Nobody writes a fraction with a leading zero, but a
    /// month.</summary>
    public static bool IsBareBore(ReadOnlySpan<char> text) =>
        text.IndexOf('/') is var slash and (1 or 2) && text.Length == slash + 3 && text[0] != '0'
        && int.TryParse(text[..slash], NumberStyles.None, CultureInfo.InvariantCulture, out var numerator)
        && int.TryParse(text[(slash + 1)..], NumberStyles.None, CultureInfo.InvariantCulture, out var denominator)
        && IsBore(numerator, denominator);

    /// <summary>Length of the numbers joined by slashes or dashes at the start.</summary>
    private static int RunAt(ReadOnlySpan<Piece> pieces)
    {
        var run = pieces[0].IsNumber ? 1 : 0;
        while (run > 0
            && run + 1 < pieces.Length
            && pieces[run] is { Kind: PieceKind.Separator, Value: '/' or '-' }
            && pieces[run + 1].IsNumber)
        {
            run += 2;
        }

        return run;
    }

    /// <summary>A fraction of an inch that brake hose is made in could stand there: sixteenths, 32nds and
    /// 64ths.</summary>
    public static bool IsBore(Piece numerator, Piece denominator) =>
        denominator.Length == 2 && IsBore(numerator.Value, denominator.Value);

    // An inch is divided in lowest terms: 2/16 is February 2016, for that bore would be 1/8.
    private static bool IsBore(int numerator, int denominator) =>
        denominator is 16 or 32 or 64 && numerator < denominator && int.IsOddInteger(numerator);
}
