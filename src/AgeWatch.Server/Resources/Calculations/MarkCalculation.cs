using System.ComponentModel.DataAnnotations;
using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Marks.Vins;
using AgeWatch.Core.Records;
using AgeWatch.Server.Answers;
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

internal sealed record MarkBatchRequest([Length(1, 1000)] IReadOnlyList<MarkRequest> Marks);

internal sealed record MarkBatchReply(IReadOnlyList<MarkReply> Items);

internal sealed record MarkReply
{
    public required MarkOutcome Outcome { get; init; }

    public required string Reason { get; init; }

    /// <summary>A date was read and cannot be; false where no date was found.</summary>
    public required bool Impossible { get; init; }

    public required IReadOnlyList<MarkReadingReply> Readings { get; init; }

    /// <summary>Readings that nobody would believe beside the others, each with the rule that sets it aside;
    /// they do not govern. Naming the convention, or notBefore, lifts the rule.</summary>
    public required IReadOnlyList<RemoteMarkReply> Remote { get; init; }

    public required IReadOnlyList<DroppedReply> Dropped { get; init; }

    /// <summary>The earliest reading; null: none.</summary>
    public required MarkReadingReply? Governing { get; init; }

    /// <summary>What would settle it, the most telling first.</summary>
    public required IReadOnlyList<string> Questions { get; init; }

    /// <summary>The members of the request that take the answers to questions, in their order.</summary>
    public required IReadOnlyList<string> SettledBy { get; init; }

    /// <summary>Where the governing reading's convention comes from.</summary>
    public required Tag? Tag { get; init; }

    public required string? Source { get; init; }

    public static MarkReply From(MarkAnswer a) => new()
    {
        Outcome = a.Outcome,
        Reason = a.Reason,
        Impossible = a.IsImpossible,
        Readings = [.. a.Readings.Select(MarkReadingReply.From)],
        Remote = [
            .. a.Remote.Select(r => new RemoteMarkReply(MarkReadingReply.From(r.Reading), BoundReply.From(r.Bound))),
        ],
        Dropped = [
            .. a.Dropped.Select(d => new DroppedReply(d.Convention, d.Span?.First, d.Span?.Last, d.Code, d.Reason)),
        ],
        Governing = a.Governing is { } governing ? MarkReadingReply.From(governing) : null,
        Questions = [.. a.Questions.Select(q => q.Sentence())],
        SettledBy = [.. a.Questions.Select(q => q.Member())],
        Tag = a.Tag,
        Source = a.Source,
    };
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

internal sealed record RemoteMarkReply(MarkReadingReply Reading, BoundReply Bound);

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
