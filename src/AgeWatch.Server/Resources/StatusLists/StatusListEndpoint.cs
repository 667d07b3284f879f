using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Storage;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.Net.Http.Headers;

namespace AgeWatch.Server.Resources.StatusLists;

/// <summary>The record that goes with a car: every limited part and task, how old, how far, what limits it, what is
/// left.</summary>
internal static class StatusListEndpoint
{
    public static void MapStatusLists(this IEndpointRouteBuilder v1) =>
        v1.MapResource("/vehicles/{vehicleId:guid}/status-list", "Due", "What is due, when, and why.")
            .MapGet("", Get).ForReaders()
            .Named(
                "getStatusList",
                "Every limited part and task with age, distance, limits, what is left, last done and next due; also "
                    + "as CSV and as a page to print");

    private static async Task<Results<Tagged<StatusListReply>, HtmlPage, FileContentHttpResult, Problem>> Get(
        Guid vehicleId, Query<StatusListQuery> query, StatusListForm form, Caller caller,
        AgeWatchContext db, TimeProvider clock, HttpResponse response, CancellationToken stop)
    {
        if (await VehicleFile.ToAsync(
            db, clock, caller.ClubId, vehicleId, stop, query.Value.AsOf) is not { } file)
        {
            return Problems.NotFound();
        }

        var list = StatusListReply.Of(file, query.Value.AsOf ?? file.Today, query.Value.WarningDays);
        switch (form.Format)
        {
            case StatusListFormat.Html:
                return StatusListPage.Of(list);

            case StatusListFormat.Csv:
                using (var table = new MemoryStream())
                {
                    await CsvTable.WriteAsync(table, StatusListCsv.Columns, StatusListCsv.Rows(list)
                        .ToAsyncEnumerable(), query.Value.Raw, stop);
                    Reply.SetPrivate(response);
                    var bytes = table.ToArray();
                    return TypedResults.File(
                        bytes, CsvTable.ContentType, "status-list.csv",
                        entityTag: new EntityTagHeaderValue(EntityTag.Of(bytes).ToString()));
                }

            default:
                return Reply.Of(list);
        }
    }
}

/// <param name="AsOf">Any day, past or future, from the facts known now; absent: today in the club's zone.</param>
/// <param name="Raw">Of the CSV: text as it is, for programs; else guarded against being run as a formula.</param>
internal sealed record StatusListQuery(
    DateOnly? AsOf = null, [System.ComponentModel.DataAnnotations.Range(0, 3650)] int WarningDays = 60,
    bool Raw = false);
