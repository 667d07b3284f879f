using System.Globalization;

namespace AgeWatch.Server.Tests.Records;

/// <summary>A fact by the plain names of its members, before a door has given it a form. Distances are in
/// miles.</summary>
internal sealed class Fact : Dictionary<string, object>
{
    private static readonly HashSet<string> Distances = ["odometer", "untilOdometer", "declaredPerYear"];

    /// <summary>The members that are to be refused.</summary>
    public IReadOnlyList<string> AtFault { get; set; } = [];

    /// <summary>What a door cannot say is left out, unless that is what is wrong with the fact.</summary>
    public Fact? Sayable(params string[] unsayable) =>
        unsayable.Any(AtFault.Contains) ? null : Copy().Without(unsayable);

    public Fact Copy()
    {
        Fact copy = new() { AtFault = AtFault };
        foreach (var (member, value) in this)
        {
            copy[member] = value;
        }

        return copy;
    }

    public Fact Without(params string[] members)
    {
        foreach (var member in members)
        {
            Remove(member);
        }

        return this;
    }

    /// <summary>As JSON has it, with some members under another name.</summary>
    public Dictionary<string, object?> Json(params (string Member, string Name)[] names) => Keys.ToDictionary(
        member => names.FirstOrDefault(n => n.Member == member).Name ?? member,
        member => Distances.Contains(member) ? new { value = this[member], unit = "mi" } : (object?)this[member]);

    /// <summary>A row of a sheet.</summary>
    public Dictionary<string, string> Row(string record, params (string Member, string Column)[] columns)
    {
        Dictionary<string, string> row = new() { ["record"] = record };
        foreach (var (member, column) in columns.Where(c => ContainsKey(c.Member)))
        {
            var text = string.Create(CultureInfo.InvariantCulture, $"{this[member]}");
            row[column] = Distances.Contains(member) ? $"{text} mi" : text;
        }

        return row;
    }

    public static string Sheet(params Dictionary<string, string>[] rows)
    {
        string[] columns = [.. rows.SelectMany(row => row.Keys).Distinct()];
        var lines = rows.Select(row => string.Join(',', columns.Select(c => Quoted(row.GetValueOrDefault(c, "")))));
        return string.Join('\n', [string.Join(',', columns), .. lines, ""]);
    }

    private static string Quoted(string cell) => $"\"{cell.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
