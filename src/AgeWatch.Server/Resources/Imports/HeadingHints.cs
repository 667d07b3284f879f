using AgeWatch.Core;

namespace AgeWatch.Server.Resources.Imports;

/// <summary>Which column a heading of another sheet may mean. Only ever suggested: a person says whether it is
/// so.</summary>
internal static class HeadingHints
{
    // Common practice, no source: what people write over such columns.
    private static readonly Dictionary<string, string> Usual = new()
    {
        ["id"] = Columns.Reference,
        ["ref"] = Columns.Reference,
        ["owner"] = Columns.Member,
        ["keeper"] = Columns.Member,
        ["e mail"] = Columns.Email,
        ["mail"] = Columns.Email,
        ["car"] = Columns.Vehicle,
        ["year"] = Columns.Built,
        ["year built"] = Columns.Built,
        ["built on"] = Columns.Built,
        ["units"] = Columns.Unit,
        ["first registered"] = Columns.Registered,
        ["plate"] = Columns.Registration,
        ["number plate"] = Columns.Registration,
        ["reg"] = Columns.Registration,
        ["reg no"] = Columns.Registration,
        ["vin"] = Columns.Chassis,
        ["chassis no"] = Columns.Chassis,
        ["part"] = Columns.PartKind,
        ["item"] = Columns.PartKind,
        ["where"] = Columns.Position,
        ["made by"] = Columns.Maker,
        ["manufacturer"] = Columns.Maker,
        ["part no"] = Columns.PartNumber,
        ["batch"] = Columns.Lot,
        ["date code"] = Columns.Mark,
        ["date mark"] = Columns.Mark,
        ["invoice"] = Columns.DocumentOn,
        ["invoice date"] = Columns.DocumentOn,
        ["installed"] = Columns.FittedOn,
        ["installed on"] = Columns.FittedOn,
        ["date fitted"] = Columns.FittedOn,
        ["fitted"] = Columns.FittedOn,
        ["last done"] = Columns.LastDoneOn,
        ["date done"] = Columns.LastDoneOn,
        ["date read"] = Columns.ReadOn,
        ["mileage"] = Columns.Odometer,
        ["miles"] = Columns.Odometer,
        ["remarks"] = Columns.Notes,
        ["comments"] = Columns.Notes,
    };

    // Common practice, no source: the two units in the languages around.
    private static readonly Dictionary<string, DistanceUnit> UsualUnits = new()
    {
        ["kilometern"] = DistanceUnit.Kilometre,
        ["chilometri"] = DistanceUnit.Kilometre,
        ["quilometros"] = DistanceUnit.Kilometre,
        ["kilometros"] = DistanceUnit.Kilometre,
        ["klm"] = DistanceUnit.Kilometre,
        ["meile"] = DistanceUnit.Mile,
        ["meilen"] = DistanceUnit.Mile,
        ["miglia"] = DistanceUnit.Mile,
        ["milhas"] = DistanceUnit.Mile,
        ["millas"] = DistanceUnit.Mile,
        ["mijl"] = DistanceUnit.Mile,
    };

    public static DistanceUnit? UnitNear(string word) =>
        UsualUnits.TryGetValue(Sheet.Fold(word).TrimEnd('.'), out var unit) ? unit : null;

    /// <param name="heading">Folded.</param>
    public static string? Near(string heading)
    {
        if (heading.Length is 0 or > 40)
        {
            return null;
        }

        if (Usual.TryGetValue(heading, out var known))
        {
            return known;
        }

        var near = Columns.All.Select(column => (Column: column, Slips: Slips(heading, column)))
            .MinBy(found => found.Slips);
        return near.Slips <= Math.Max(1, near.Column.Length / 4) ? near.Column : null;
    }

    // How many letters must be added, dropped or changed (Levenshtein's distance).
    private static int Slips(string left, string right)
    {
        var before = Enumerable.Range(0, right.Length + 1).ToArray();
        for (var i = 1; i <= left.Length; i++)
        {
            var now = new int[right.Length + 1];
            now[0] = i;
            for (var j = 1; j <= right.Length; j++)
            {
                var changed = before[j - 1] + (left[i - 1] == right[j - 1] ? 0 : 1);
                now[j] = Math.Min(changed, Math.Min(before[j], now[j - 1]) + 1);
            }

            before = now;
        }

        return before[^1];
    }
}
