using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Conventions;

/// <summary>A club's own way of reading dates.</summary>
/// <param name="Pattern">A .NET regular expression for the whole cleaned text (upper case, single spaces), with groups
/// from day, month, monthLetter, week, year, quarter, dayOfYear; no look-around, no back references.</param>
/// <param name="TyreWeeks">Weeks run Sunday to Saturday from the first full one; else ISO 8601.</param>
/// <param name="Years">First and last day of use; absent: 1900 to 2099.</param>
/// <param name="Examples">At least one; each must come out as stated.</param>
internal sealed record ConventionRequest(
    [StringLength(64, MinimumLength = 1)] string Key,
    [StringLength(OwnConvention.MostNameCharacters, MinimumLength = 1), OneLine] string Name,
    [StringLength(2000, MinimumLength = 1)] string SourceNote,
    [StringLength(OwnConvention.MostPatternCharacters, MinimumLength = 1)] string Pattern,
    [Length(1, OwnConvention.MostExamples)] IReadOnlyList<ConventionExample> Examples,
    MarkKind Kind = MarkKind.Manufacture,
    bool TyreWeeks = false,
    DateSpan? Years = null)
{
    public static ConventionRequest From(OwnConventionDraft draft) => new(
        draft.Key, draft.Name, draft.SourceNote, draft.Pattern,
        [.. draft.Examples.Select(e => new ConventionExample(e.Mark, e.Means, e.Observed))],
        draft.Kind, draft.TyreWeeks, draft.Years);

    public OwnConventionDraft ToDraft() => new()
    {
        Key = Key,
        Name = Name,
        SourceNote = SourceNote,
        Pattern = Pattern,
        Kind = Kind,
        TyreWeeks = TyreWeeks,
        Years = Years,
        Examples = [.. Examples.Select(e => new OwnExample(e.Mark, e.Means, e.Observed))],
    };
}

internal sealed record ConventionChangedContent(ConventionRequest Before, ConventionRequest After);

/// <param name="Means">Every span it must come out as: a day, a month, a year, or first/last.</param>
internal sealed record ConventionExample(
    [StringLength(MarkQuestion.MaxTextLength, MinimumLength = 1)] string Mark, IReadOnlyList<DateSpan> Means,
    DateOnly? Observed = null);

/// <param name="Means">Null: it only parts the others.</param>
internal sealed record MarkPartReply(string Text, string? Means);

internal sealed record ConventionReply
{
    public required string Key { get; init; }

    public required string Name { get; init; }

    public required MarkKind Kind { get; init; }

    public required string LooksLike { get; init; }

    public required string FoundOn { get; init; }

    public required string ReadsAs { get; init; }

    /// <summary>The first example taken apart.</summary>
    public required IReadOnlyList<MarkPartReply> Parts { get; init; }

    public required string MistakenFor { get; init; }

    public required DateOnly UsedFrom { get; init; }

    public required DateOnly UsedUntil { get; init; }

    public required Tag Tag { get; init; }

    public required string Source { get; init; }

    public required bool Own { get; init; }

    /// <summary>Where it is a plain date (a month, week or quarter in words, a month and year, a year in full) it is
    /// read on every kind of part.</summary>
    public required bool Anywhere { get; init; }

    public required IReadOnlyList<ConventionExample> Examples { get; init; }

    public static ConventionReply From(MarkConvention c, bool isOwn) => new()
    {
        Key = c.Key,
        Name = c.About.Name,
        Kind = c.Kind,
        LooksLike = c.About.LooksLike,
        FoundOn = c.About.FoundOn,
        ReadsAs = c.About.ReadsAs,
        Parts = [.. c.Parts.Select(p => new MarkPartReply(p.Text, p.Means))],
        MistakenFor = c.About.MistakenFor,
        UsedFrom = c.Years.First,
        UsedUntil = c.Years.Last,
        Tag = c.Tag,
        Source = c.Source,
        Own = isOwn,
        Anywhere = c.IsReadAnywhere,
        Examples = [.. c.About.Examples.Select(e => new ConventionExample(e.Text, e.Means))],
    };
}
