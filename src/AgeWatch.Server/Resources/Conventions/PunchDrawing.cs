using System.Globalization;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Kernel.Pages;

namespace AgeWatch.Server.Resources.Conventions;

/// <summary>A label with rows of months and years, one of each punched out, set to the example of the
/// convention.</summary>
internal static class PunchDrawing
{
    private const int Cell = 21;
    private const int Left = 18;

    public static Html Of(MarkConvention punch)
    {
        var figures = punch.About.Examples[0]
            .Text.Split('/')
            .Select(part => int.Parse(part, CultureInfo.InvariantCulture))
            .ToList();
        var (month, year) = (figures[0], figures[1]);
        var firstYear = year - 4;
        return MarkDrawing.Frame(
            punch.Key, punch.About.Name,
            $"A label with the months 1 to 12 in a row and years below; the holes are at month {month} and year "
                + $"{year:00}.",
            118,
            $"""
            <rect x="6" y="6" width="276" height="88" rx="4"/>
            {Enumerable.Range(0, 12).Select(i => At(i, 34, i + 1, i + 1 == month))}
            {Enumerable.Range(0, 12).Select(i => At(i, 74, firstYear + i, firstYear + i == year))}
            {MarkDrawing.Word(144, 112, $"hole above: month {month}; hole below: year {year:00}")}
            """);
    }

    private static Html At(int column, int y, int figure, bool punched)
    {
        var x = Left + Cell * (column + 0.5);
        var word = MarkDrawing.Word(x, y - 11, figure.ToString("00", CultureInfo.InvariantCulture));
        return punched
            ? (Html)$"""{word}<circle cx="{x:0.#}" cy="{y}" r="6" fill="currentColor"/>"""
            : $"""{word}<circle cx="{x:0.#}" cy="{y}" r="6" stroke-width="0.75"/>""";
    }
}
