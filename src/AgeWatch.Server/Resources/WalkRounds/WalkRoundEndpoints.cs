using System.ComponentModel.DataAnnotations;
using AgeWatch.Core.Due;
using AgeWatch.Core.WalkRounds;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.EntityFrameworkCore;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <summary>What to look at on a car of which little is known, and the answers that come back from it.</summary>
internal static class WalkRoundEndpoints
{
    public static void MapWalkRounds(this IEndpointRouteBuilder v1)
    {
        var walk = v1.MapResource(
            "/vehicles/{vehicleId:guid}/walk-round", "Walk-round",
            "The questions to take to a car, and their answers.");
        walk.MapGet("", Get)
            .ForReaders()
            .Named(
                "getWalkRound",
                "The questions that tell most about a car, in the order of a walk round it; also as a page to print");
        walk.MapPost("", Answer)
            .ForOfficers()
            .Named("answerWalkRound", "Take the answers of a walk-round in one go: all or none");
    }

    private static async Task<Results<Tagged<WalkRoundReply>, HtmlPage, Problem>> Get(
        Guid vehicleId, Query<WalkRoundQuery> query, HtmlChoice choice, Caller caller, AgeWatchContext db,
        TimeProvider clock, CancellationToken stop)
    {
        if (await VehicleFile.ToAsync(db, clock, caller.ClubId, vehicleId, stop) is not { } file)
        {
            return Problems.NotFound();
        }

        var walk = WalkRoundReply.Of(
            file.Stored, file.QuestionsOn(file.Today), file.Notes, file.Today, query.Value.Most);
        if (choice.IsHtml)
        {
            return WalkRoundPage.Of(walk);
        }

        return Reply.Of(walk);
    }

    private static async Task<Results<Tagged<WalkAnswersReply>, Problem>> Answer(
        Guid vehicleId, Body<WalkAnswersRequest> body, Caller caller, AgeWatchContext db, FactWriter writer,
        TimeProvider clock, CancellationToken stop)
    {
        if (await db.Vehicles.SingleOrDefaultAsync(v =>
            v.Id == vehicleId, stop) is not { } vehicle)
        {
            return Problems.NotFound();
        }

        WalkAnswerWriter taking = new(vehicle, body.Value, caller, db, writer, clock);
        var errors = await taking.TakeAsync(stop);
        if (errors.Count > 0)
        {
            return Problems.Invalid(errors);
        }

        await writer.SaveAsync(caller.ClubId, vehicleId, stop);
        var file = (await VehicleFile.ToAsync(db, clock, caller.ClubId, vehicleId, stop))!;
        var asked = file.QuestionsOn(file.Today).ToDictionary(a => a.SubjectId);
        return Reply.Of(new WalkAnswersReply(vehicleId, body.Value.SeenOn,
        [
            .. taking.Taken.Select(taken => taken.SubjectId is { } id
                && asked.TryGetValue(id, out var subject)
                && DueAssessment.Assess(subject.Question) is var answer
                ? new WalkAnsweredReply(
                    taken.PartKind, id, taken.Created, taken.Outcome, answer.State, answer.Certainty, answer.Force,
                    answer.Questions)
                : new WalkAnsweredReply(
                    taken.PartKind, taken.SubjectId, taken.Created, taken.Outcome, null, null, null, [])),
        ],
        vehicle.Built, taking.ReadingId));
    }
}

/// <param name="Most">At most so many questions, the most telling.</param>
internal sealed record WalkRoundQuery([Range(1, 200)] int Most = WalkRoundRequest.UsualMost);
