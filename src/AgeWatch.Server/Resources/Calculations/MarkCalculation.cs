using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Marks;
using AgeWatch.Core.Marks.Vins;
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
