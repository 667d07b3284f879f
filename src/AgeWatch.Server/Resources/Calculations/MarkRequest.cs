using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Records;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;

namespace AgeWatch.Server.Resources.Calculations;

/// <summary>A mark as read off a part, with what is known about the part.</summary>
[OptionalMembers]
internal sealed record MarkRequest
{
    /// <summary>As typed; ? stands for one unreadable character.</summary>
    public required string Mark { get; init; }

    /// <summary>Key of the one convention to read by; absent or "undeclared": all that are possible are
    /// tried.</summary>
    [StringLength(64)]
    public required string? Convention { get; init; }

    [StringLength(64)]
    public required string? PartKind { get; init; }

    /// <summary>The day it was seen; absent: today is the latest it can have been.</summary>
    public required DateOnly? Observed { get; init; }

    public required DateOnly? NotBefore { get; init; }

    public required DateOnly? NotAfter { get; init; }

    /// <summary>Day, month or year.</summary>
    public required DateSpan? VehicleBuilt { get; init; }

    public required bool? OriginalEquipment { get; init; }

    [RegularExpression("[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")]
    public required string? Country { get; init; }

    public required bool? Triangle { get; init; }

    /// <summary>skip-I or A-L.</summary>
    public required string? LetterScheme { get; init; }

    [MaxLength(64)]
    public required IReadOnlyList<string>? TryConventions { get; init; }

    public required MarkKind? Role { get; init; }

    /// <summary>Why the bounds are what they are; for the reader's own record.</summary>
    [StringLength(1000)]
    public required string? BoundsReason { get; init; }

    public void Check(IReadOnlyList<MarkConvention> own, DateOnly today, string at, List<FieldError> errors)
    {
        if (PartKind is { } kind && PartCatalogue.BuiltIn.Find(kind) is null)
        {
            errors.Add(new(UnknownKind.Code, UnknownKind.Detail(kind), JsonAt.Member(at, "partKind")));
        }

        // A text that is no mark is answered, not refused.
        errors.AddRange(EvidenceRecord.Check(ToRecord(), today, key => IsKnown(key, own))
            .Where(r => r.Member != nameof(EvidenceRecord.Text))
            .At(at, member => member == nameof(EvidenceRecord.On) ? "observed" : "convention"));
        foreach (var (index, key) in (TryConventions ?? []).Index().Where(k => !IsKnown(k.Item, own)))
        {
            errors.Add(new(
                "unknown-convention", $"There is no mark convention \"{key}\"; GET /v1/mark-conventions lists them.",
                JsonAt.Item(JsonAt.Member(at, "tryConventions"), index)));
        }

        if (LetterScheme is not null && Scheme is null)
        {
            errors.Add(new("unknown-value", "Must be one of: skip-I, A-L.", JsonAt.Member(at, "letterScheme")));
        }

        if (NotAfter < NotBefore)
        {
            errors.Add(new("before-not-before", "It cannot be before notBefore.", JsonAt.Member(at, "notAfter")));
        }
    }

    private EvidenceRecord ToRecord() => new()
    {
        Kind = EvidenceKind.Mark,
        On = Observed,
        Text = Mark,
        Convention = Convention,
        Triangle = Triangle,
        Odometer = null,
        Hours = null,
    };

    public MarkQuestion ToQuestion(DateOnly today)
    {
        var kind = PartKind is null ? null : PartCatalogue.BuiltIn.Find(PartKind);
        return new MarkQuestion(Mark)
        {
            Convention = Convention,
            Observed = Observed,
            Today = today,
            NotBefore = NotBefore,
            NotAfter = NotAfter,
            VehicleBuilt = VehicleBuilt,
            OriginalEquipment = OriginalEquipment.ToYesNo(),
            Country = Country,
            Triangle = Triangle.ToYesNo(),
            LetterScheme = Scheme ?? Core.Marks.LetterScheme.Unknown,
            Role = Role,
            TryConventions = TryConventions ?? [],
            Likely = kind?.Mark.Likely ?? [],
            Possible = kind?.Mark.Possible ?? [],
            Bounds = MarkEvidence.Bounds(kind, VehicleBuilt),
        };
    }

    private LetterScheme? Scheme => LetterScheme?.ToUpperInvariant() switch
    {
        "SKIP-I" => Core.Marks.LetterScheme.SkipI,
        "A-L" => Core.Marks.LetterScheme.AToL,
        _ => null,
    };

    public static bool IsKnown(string key, IReadOnlyList<MarkConvention> own) =>
        MarkConventions.Find(key) is not null || own.Any(c => c.Key == key);
}
