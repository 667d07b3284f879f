using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.HttpResults;

namespace AgeWatch.Server.Resources.Calculations;

internal static class DueCalculation
{
    public static void MapDueCalculation(this IEndpointRouteBuilder v1) =>
        v1.MapResource(
            "/calculations", "Calculations",
            "The same rules as for stored cars, for facts sent along; nothing is stored.")
            .MapPost("/due", Calculate)
            .ForReaders()
            .Named("calculateDue", "Work out a due answer from the facts sent; nothing is stored");

    private static async Task<Results<Ok<DueReply>, Problem>> Calculate(
        Body<DueCalculationRequest> body, Caller caller, AgeWatchContext db, FactWriter writer, CancellationToken stop)
    {
        var asked = body.Value;
        var key = asked.Component?.PartKind ?? asked.ServiceTask!.PartKind;
        if (PartCatalogue.BuiltIn.Find(key) is not { } kind)
        {
            return Problems.Invalid(
                asked.Component is null ? "#/serviceTask/partKind" : "#/component/partKind", UnknownKind.Code,
                UnknownKind.Detail(key));
        }

        var own = await OwnConventions.OfAsync(db, caller.ClubId, stop);
        var today = await writer.TodayAsync(caller.ClubId, stop);
        var asOf = asked.AsOf ?? today;
        var sent = SentFacts.Between(asOf, today);
        var errors = sent.Errors(asked, own);
        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        var answer = DueAssessment.Assess(asked.ToQuestion(kind, asOf, today, own));
        return TypedResults.Ok(DueReply.From(answer, kind.Key));
    }
}
