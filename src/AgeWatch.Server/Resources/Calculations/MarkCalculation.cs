using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Marks.Vins;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.HttpResults;

namespace AgeWatch.Server.Resources.Calculations;

internal static class MarkCalculation
{
    public static void MapMarkCalculations(this IEndpointRouteBuilder v1)
    {
        var calculations = v1.MapResource(
            "/calculations", "Calculations",
            "The same rules as for stored cars, for facts sent along; nothing is stored.");
        calculations.MapPost("/mark-readings", Read)
            .ForReaders()
            .Named("readMark", "Every meaning of a date mark, the earliest governing");
        calculations.MapPost("/mark-readings/batch", ReadMany)
            .ForReaders()
            .Named("readMarks", "The same for up to 1,000 marks in one call");
        calculations.MapPost("/vin", ReadVin)
            .ForReaders()
            .Named("readVin", "Check digit and model years of a vehicle identification number");
    }

    private static async Task<Results<Ok<MarkReply>, Problem>> Read(
        Body<MarkRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        var own = await OwnConventions.OfAsync(db, caller.ClubId, stop);
        List<FieldError> errors = [];
        var today = await writer.TodayAsync(caller.ClubId, stop);
        body.Value.Check(own, today, JsonAt.Root, errors);
        return errors.Count > 0
            ? Problems.Invalid(errors)
            : TypedResults.Ok(MarkReply.From(MarkReader.Read(body.Value.ToQuestion(today), own)));
    }

    private static async Task<Results<Ok<MarkBatchReply>, Problem>> ReadMany(
        Body<MarkBatchRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        var own = await OwnConventions.OfAsync(db, caller.ClubId, stop);
        var today = await writer.TodayAsync(caller.ClubId, stop);
        List<FieldError> errors = [];
        foreach (var (index, mark) in body.Value.Marks.Index())
        {
            mark.Check(own, today, JsonAt.Item(JsonAt.Member(JsonAt.Root, "marks"), index), errors);
        }

        return errors.Count > 0
            ? Problems.Invalid(errors)
            : TypedResults.Ok(new MarkBatchReply([.. body.Value.Marks.Select(m =>
                MarkReply.From(MarkReader.Read(m.ToQuestion(today), own)))]));
    }

    private static Ok<VinReply> ReadVin(Body<VinRequest> body) =>
        TypedResults.Ok(VinReply.From(Vin.Read(
            body.Value.Vin, body.Value.Country, body.Value.Light.ToYesNo())));
}

/// <summary>A mark as read off a part, with what is known about the part.</summary>
/// <param name="Mark">As typed; ? stands for one unreadable character.</param>
/// <param name="Convention">Key of the one convention to read by; absent or "undeclared": all that are possible are
/// tried.</param>
/// <param name="Observed">The day it was seen; absent: today is the latest it can have been.</param>
/// <param name="VehicleBuilt">Day, month or year.</param>
/// <param name="LetterScheme">skip-I or A-L.</param>
/// <param name="BoundsReason">Why the bounds are what they are; for the reader's own record.</param>
internal sealed record MarkRequest(
    string Mark,
    [StringLength(64)] string? Convention = null,
    [StringLength(64)] string? PartKind = null,
    DateOnly? Observed = null,
    DateOnly? NotBefore = null,
    DateOnly? NotAfter = null,
    DateSpan? VehicleBuilt = null,
    bool? OriginalEquipment = null,
    [RegularExpression(
        "[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")] string? Country = null,
    bool? Triangle = null,
    string? LetterScheme = null,
    [MaxLength(64)] IReadOnlyList<string>? TryConventions = null,
    MarkKind? Role = null,
    [StringLength(1000)] string? BoundsReason = null)
{
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

internal sealed record MarkBatchRequest([Length(1, 1000)] IReadOnlyList<MarkRequest> Marks);

internal sealed record MarkBatchReply(IReadOnlyList<MarkReply> Items);

/// <param name="Governing">The earliest reading; null: none.</param>
/// <param name="Questions">What would settle it, the most telling first.</param>
/// <param name="SettledBy">The members of the request that take the answers to questions, in their order.</param>
/// <param name="Tag">Where the governing reading's convention comes from.</param>
internal sealed record MarkReply(
    MarkOutcome Outcome,
    string Reason,
    IReadOnlyList<MarkReadingReply> Readings,
    IReadOnlyList<DroppedReply> Dropped,
    MarkReadingReply? Governing,
    IReadOnlyList<string> Questions,
    IReadOnlyList<string> SettledBy,
    Tag? Tag,
    string? Source)
{
    public static MarkReply From(MarkAnswer a) => new(
        a.Outcome,
        a.Reason,
        [.. a.Readings.Select(MarkReadingReply.From)],
        [.. a.Dropped.Select(d => new DroppedReply(d.Convention, d.Span?.First, d.Span?.Last, d.Code, d.Reason))],
        a.Governing is { } governing ? MarkReadingReply.From(governing) : null,
        [.. a.Questions.Select(q => q.Sentence())],
        [.. a.Questions.Select(q => q.Member())],
        a.Tag,
        a.Source);
}

/// <param name="Convention">The most likely convention that reads it so; conventions has all.</param>
/// <param name="Kind">manufacture, or expiry: good through latest.</param>
internal sealed record MarkReadingReply(
    string Convention,
    IReadOnlyList<string> Conventions,
    MarkKind Kind,
    DateOnly Earliest,
    DateOnly Latest,
    string Canonical,
    DateOnly? LastPermittedDay,
    IReadOnlyList<string> Assumptions)
{
    public static MarkReadingReply From(MarkReading r) => new(
        r.Conventions[0].Key,
        [.. r.Conventions.Select(c => c.Key)],
        r.Kind,
        r.Span.First,
        r.Span.Last,
        r.Canonical,
        r.Kind == MarkKind.Expiry ? r.Span.Last : null,
        r.Assumptions);
}

internal sealed record DroppedReply(
    string? Convention, DateOnly? Earliest, DateOnly? Latest, DropCode Code, string Reason);

/// <param name="Light">A passenger car, or another vehicle up to 4,536 kg gross.</param>
internal sealed record VinRequest(
    [StringLength(120, MinimumLength = 1), OneLine] string Vin,
    [RegularExpression(
        "[A-Z]{2}", ErrorMessage = "Must be two capital letters (ISO 3166-1 alpha-2).")] string? Country = null,
    bool? Light = null);

internal sealed record VinReply(
    string Text,
    VinVerdict Verdict,
    string? ComputedCheckDigit,
    bool? CheckDigitMatches,
    IReadOnlyList<int> ModelYears,
    IReadOnlyList<VinFault> Faults,
    IReadOnlyList<string> Notes)
{
    public static VinReply From(VinReading v) => new(
        v.Text, v.Verdict, v.ComputedCheckDigit?.ToString(), v.CheckDigitMatches, v.ModelYears, v.Faults, v.Notes);
}
