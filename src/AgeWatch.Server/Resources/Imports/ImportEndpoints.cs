using AgeWatch.Server.Kernel.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;

namespace AgeWatch.Server.Resources.Imports;

internal static class ImportEndpoints
{
    private const long LargestSheet = 16 * 1024 * 1024;
    private const int MostRefused = 200;

    public static void MapImports(this IEndpointRouteBuilder v1)
    {
        v1.MapResource("/imports", "Imports", "A club's sheet, all rows or none.").MapPost("", Create).ForOfficers()
            .Named("createImport", "Take a sheet of members, vehicles, readings, components and tasks")
            .Accepts<string>("text/csv")
            .WithMetadata(new RequestSizeLimitAttribute(LargestSheet));
    }

    private static async Task<Results<Ok<ImportReport>, Problem>> Create(
        Query<ImportQuery> query, HttpRequest request, Caller caller, Import import, CancellationToken stop)
    {
        // A packed sheet is refused, not unpacked: a small one could become a very large one.
        if (request.ContentType?.Split(';')[0].Trim().ToLowerInvariant() != "text/csv"
            || request.Headers.ContentEncoding is not ([] or ["identity"]))
        {
            return Problems.UnsupportedMediaType("text/csv, without a Content-Encoding");
        }

        List<FieldError> errors = [];
        var words = SheetWords.Read(query.Value, errors);
        if (errors.Count > 0)
        {
            return Problems.InvalidParameter(errors);
        }

        var (report, faults) = await import.RunAsync(caller.ClubId, request.Body, words, query.Value.DryRun, stop);
        return report.DryRun || faults.Count == 0 ? TypedResults.Ok(report) : Refused(report, faults);
    }

    private static Problem Refused(ImportReport report, IReadOnlyList<SheetFault> faults)
    {
        var lines = faults.Select(f => f.Line).Distinct().Count();
        var first = faults.OrderBy(f => f.Line).First();
        var rows = report.Rows.Where(r => r.Outcome == ImportOutcome.Refused).ToList();
        var problem = new Problem(
            Problems.ValidationType,
            $"{lines} line(s) of the sheet cannot be taken, so nothing was stored. The first: line {first.Line}"
            + $"{(first.Column is null ? "" : $", column \"{first.Column}\"")}: {first.Detail}")
        {
            More =
            {
                ["rows"] = rows.Take(MostRefused).ToList(),
                ["moreRows"] = report.Refused - Math.Min(rows.Count, MostRefused),
                ["suggestions"] = report.Suggestions,
            },
        };
        return problem;
    }
}

/// <param name="DryRun">Say what would happen, and store nothing.</param>
/// <param name="DateOrder">Which comes first in a day such as 02/04/2019. Without it only days that can be read in one
/// way are taken.</param>
/// <param name="Columns">Headings of another sheet, each <c>heading:column</c>, or <c>heading:-</c> for one to leave
/// out.</param>
/// <param name="Units">Words of another sheet for a unit, each <c>word:km</c> or <c>word:mi</c>.</param>
internal sealed record ImportQuery(
    bool DryRun = false, DateOrder? DateOrder = null,
    IReadOnlyList<string>? Columns = null, IReadOnlyList<string>? Units = null);
