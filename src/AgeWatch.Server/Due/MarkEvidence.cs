using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;

namespace AgeWatch.Server.Due;

/// <summary>A mark's text as evidence: every meaning that can stand is kept, the earliest governs.</summary>
internal static class MarkEvidence
{
    public static IReadOnlyList<EvidenceReading> Read(
        string text,
        string? convention,
        string partKind,
        DateOnly? seenOn,
        DateSpan? built,
        bool original,
        string? country,
        bool? triangle,
        IReadOnlyList<MarkConvention> own) =>
        [.. Ask(text, convention, partKind, seenOn, built, original, country, triangle, own).Readings
            .Select(r => new EvidenceReading(r.Span, r.Conventions[0].Key, r.Kind == MarkKind.Expiry))];

    private static MarkAnswer Ask(
        string text, string? convention, string partKind, DateOnly? seenOn, DateSpan? built, bool original, string? country,
        bool? triangle, IReadOnlyList<MarkConvention> own)
    {
        var mark = PartCatalogue.BuiltIn.Find(partKind)?.Mark;
        return MarkReader.Read(
            new MarkQuestion(text)
            {
                Convention = convention,
                Observed = seenOn,
                VehicleBuilt = built,
                OriginalEquipment = original ? YesNo.Yes : YesNo.No,
                Country = country,
                Triangle = triangle switch { true => YesNo.Yes, false => YesNo.No, null => YesNo.Unknown },
                Likely = mark?.Likely ?? [],
                Possible = mark?.Possible ?? [],
            },
            own);
    }
}
