using System.Globalization;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Kernel.Pages;

namespace AgeWatch.Server.Resources.Conventions;

/// <summary>The two forms of a moulded clock, set to the examples of the convention.</summary>
internal static class MouldClockDrawing
{
    private const int X = 80;
    private const int Y = 74;
    private const int Outer = 66;
    private const int Ring = 53;
    private const int Inner = 32;

    public static Html Pointer(MarkConvention clock)
    {
        var (year, month) = Setting(clock.About.Examples[0].Text);
        var (sin, cos) = Math.SinCos(month * Math.PI / 6);
        List<Html> numbers = [];
        for (var m = 1; m <= 12; m++)
        {
            var (s, c) = Math.SinCos(m * Math.PI / 6);
            numbers.Add(MarkDrawing.Word(X + Ring * s, Y - Ring * c + 4, m.ToString(CultureInfo.InvariantCulture)));
        }

        return MarkDrawing.Frame(
            clock.Key + "-pointer", "Moulded clock with a pointer",
            $"A circle with the numbers 1 to 12 as on a clock, the year figures {year} in the middle and an arrow to "
                + $"{month}.",
            2 * Y,
            $"""
            <circle cx="{X}" cy="{Y}" r="{Outer}"/><circle cx="{X}" cy="{Y}" r="{Inner + 8}"/>{numbers}
            {MarkDrawing.Word(X - 19, Y + 7, year[..1], size: 20)}{MarkDrawing.Word(X + 19, Y + 7, year[1..], size: 20)}
            <path d="M{X - 22 * sin:0.#} {Y + 22 * cos:0.#}L{X + Inner * sin:0.#} {Y - Inner * cos:0.#}" stroke-width="3"/>
            <path d="M{X + (Inner + 8) * sin:0.#} {Y - (Inner + 8) * cos:0.#}L{X + 26 * sin - 6 * cos:0.#} {Y - 26 * cos - 6 * sin:0.#}L{X + 26 * sin + 6 * cos:0.#} {Y - 26 * cos + 6 * sin:0.#}z" fill="currentColor"/>
            {MarkDrawing.Word(156, 40, $"in the middle: year {year}", "start")}
            {MarkDrawing.Word(156, 60, $"arrow: month {month}", "start")}
            {MarkDrawing.Word(156, 80, "give or take a month", "start")}
            """);
    }

    public static Html Dots(MarkConvention clock)
    {
        var (year, dots) = Setting(clock.About.Examples[1].Text);
        return MarkDrawing.Frame(
            clock.Key + "-dots", "Moulded clock with dots",
            $"A circle with the year figures {year} and {dots} raised dots below: one for each month.",
            2 * Y,
            $"""
            <circle cx="{X}" cy="{Y}" r="{Outer}"/><path d="M{X - Outer} {Y}h{2 * Outer}"/>
            {MarkDrawing.Word(X, Y - 18, year, size: 26)}
            {Enumerable.Range(0, dots).Select(i => Dot(X - 30 + 20 * (i % 4), Y + 20 + 18 * (i / 4)))}
            {MarkDrawing.Word(156, 50, $"figures: year {year}", "start")}
            {MarkDrawing.Word(156, 90, $"{dots} dots: month {dots}", "start")}
            {MarkDrawing.Word(156, 110, "give or take a month", "start")}
            """);
    }

    private static Html Dot(int x, int y) => $"""<circle cx="{x}" cy="{y}" r="5" fill="currentColor"/>""";

    /// <summary>Year figures and month of a mark as it is typed, YY=94;pointer=7.</summary>
    private static (string Year, int Month) Setting(string typed)
    {
        var members = typed.Split(';').Select(member => member.Split('=')[1]).ToList();
        return (members[0], int.Parse(members[1], CultureInfo.InvariantCulture));
    }
}
