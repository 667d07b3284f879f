using System.Globalization;

namespace AgeWatch.Core.Marks;

/// <summary>Figures as a convention writes them.</summary>
internal static class DateFigures
{
    /// <summary>A year with as many figures as the reading had, at least one.</summary>
    public static string Year(int year, int digits) => digits switch
    {
        4 => year.ToString("0000", CultureInfo.InvariantCulture),
        1 => (year % 10).ToString(CultureInfo.InvariantCulture),
        _ => Two(year % 100),
    };

    public static string Two(int value) => value.ToString("00", CultureInfo.InvariantCulture);

    public static string Three(int value) => value.ToString("000", CultureInfo.InvariantCulture);

    /// <summary>A mark of expiry says so in words; the others need none.</summary>
    public static string WithKind(this string figures, MarkReading reading, MarkConvention convention) =>
        reading.Kind == convention.Kind && !reading.Assumed.HasFlag(MarkAssumption.KindByWords) ? figures
            : reading.Kind == MarkKind.Expiry ? $"Not valid after {figures}" : $"Made {figures}";
}
