using AgeWatch.Server.Kernel.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;

namespace AgeWatch.Server.Resources.Imports;

internal static class ImportEndpoints
{
    private const long LargestSheet = 16 * 1024 * 1024;

    private const int MostRowsShown = 200;

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
        if (request.ContentType?.Split(';')[0].Trim().ToLowerInvariant() != "text/csv")
        {
            return Problems.UnsupportedMediaType("text/csv");
        }

        var (report, faults) = await import.RunAsync(caller.ClubId, request.Body, query.Value.DryRun, stop);
        return report.DryRun || faults.Count == 0 ? TypedResults.Ok(Whole(report, faults)) : Refused(report, faults);
    }

    // A fault of the heading belongs to no row; a dry run must show it all the same.
    private static ImportReport Whole(ImportReport report, IReadOnlyList<SheetFault> faults)
    {
        var shown = report.Rows.Select(r => r.Line).ToHashSet();
        var strays = faults.Where(f => !shown.Contains(f.Line)).GroupBy(f => f.Line)
            .Select(line => new ImportRow(
                line.Key, null, null, ImportOutcome.Refused, null,
                [.. line.Select(f => new CellError(f.Column, f.Code, f.Detail))]));
        return ImportReport.Of(report.DryRun, report.Stored, [.. report.Rows.Concat(strays).OrderBy(r => r.Line)]);
    }

    private static Problem Refused(ImportReport report, IReadOnlyList<SheetFault> faults)
    {
        var lines = faults.Select(f => f.Line).Distinct().Count();
        var first = faults.OrderBy(f => f.Line).First();
        var problem = new Problem(
            Problems.ValidationType,
            $"{lines} line(s) of the sheet cannot be taken, so nothing was stored. The first: line {first.Line}"
            + $"{(first.Column is null ? "" : $", column \"{first.Column}\"")}: {first.Detail}")
        {
            More = { ["rows"] = Whole(report, faults)
                .Rows.Where(r => r.Outcome == ImportOutcome.Refused)
                .Take(MostRowsShown)
                .ToList() },
        };
        return problem;
    }
}

/// <param name="DryRun">Say what would happen, and store nothing.</param>
internal sealed record ImportQuery(bool DryRun = false);
