using System.Globalization;
using AgeWatch.Core.Due;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Resources.Due;

namespace AgeWatch.Server.Resources.StatusLists;

/// <summary>One row a limit of a part; a part without any and a kind not recorded have one row too, or they would be
/// overlooked.</summary>
/// <param name="Missing">The kind that is not recorded, in place of a part.</param>
internal sealed record StatusRow(
    StatusListReply List, SubjectStatusReply? Part, StatusLimitReply? Line, NotRecordedReply? Missing);

internal static class StatusListCsv
{
    public static readonly IReadOnlyList<CsvColumn<StatusRow>> Columns =
    [
        new("vehicle", r => r.List.Vehicle, IsText: true),
        new("registration", r => r.List.Registration, IsText: true),
        new("as_of", r => Day(r.List.AsOf)),
        new("recorded", r => r.Part is null ? "no" : "yes"),
        new("id", r => r.Part?.Id.ToString()),
        new("part_kind", r => r.Part?.PartKind ?? r.Missing?.PartKind),
        new("part", r => r.Part?.PartKindName ?? r.Missing?.PartKindName),
        new("position", r => r.Part?.Position, IsText: true),
        new("maker", r => r.Part?.Maker, IsText: true),
        new("part_number", r => r.Part?.PartNumber, IsText: true),
        new("lot", r => r.Part?.Lot, IsText: true),
        new("reference", r => r.Part?.Reference, IsText: true),
        new("hazard", r => r.Part is { } p ? WireNames.Of(p.Hazard) : WireNames.Of(Core.HazardClass.Catastrophic)),
        new("state", r => WireNames.Of(r.Part?.State ?? DueState.Unknown)),
        new("certainty", r => r.Part is { } p ? WireNames.Of(p.Certainty) : null),
        new("born_earliest", r => Day(r.Part?.Born.Earliest)),
        new("born_latest", r => Day(r.Part?.Born.Latest)),
        new("evidence", r => r.Part?.Born.Evidence is { } basis ? WireNames.Of(basis) : null),
        new("mark", r => r.Part?.Born.Mark, IsText: true),
        new("age_months_least", r => Number(r.Part?.AgeMonths?.Least)),
        new("age_months_most", r => Number(r.Part?.AgeMonths?.Most)),
        new("distance_least", r => Number(r.Part?.Distance?.Least)),
        new("distance_most", r => Number(r.Part?.Distance?.Most)),
        new("distance_unit", r => r.Part?.Distance?.Unit),
        new("distance_counted_on", r => Day(r.Part?.Distance?.CountedOn)),
        new("fitted_on", r => Day(r.Part?.FittedOn)),
        new("last_done_on", r => Day(r.Part?.LastDone?.On)),
        new("last_inspected_on", r => Day(r.Part?.LastInspected?.On)),
        new("last_grade", r => r.Part?.LastInspected is { } seen ? WireNames.Of(seen.Grade) : null),
        new("next_due_earliest", r => Day(r.Part?.NextDue?.Earliest)),
        new("next_due_latest", r => Day(r.Part?.NextDue?.Latest)),
        new("governs", r => r.Line is { } line ? line.Governs ? "yes" : "no" : null),
        new("limit_level", r => r.Line is { } line ? WireNames.Of(line.Limit.Level) : null),
        new("limit_from", r => r.Line is { } line ? WireNames.Of(line.Limit.Anchor) : null),
        new("limit_number", r => Number(r.Line?.Limit.Number)),
        new("limit_unit", r => r.Line?.Limit.Unit),
        new("limit_last_day", r => Day(r.Line?.Limit.LastDay)),
        new("limit_tag", r => r.Line is { } line ? WireNames.Of(line.Limit.Tag) : null),
        new("limit_reference", r => r.Line?.Limit.Reference, IsText: true),
        new("limit_standing", r => r.Line is { } line ? WireNames.Of(line.Limit.Standing) : null),
        new("due_earliest", r => Day(r.Line?.Limit.Due?.Earliest)),
        new("due_latest", r => Day(r.Line?.Limit.Due?.Latest)),
        new("days_left_earliest", r => Number(r.Line?.DaysLeft?.Earliest)),
        new("days_left_latest", r => Number(r.Line?.DaysLeft?.Latest)),
        new("left_least", r => Number(r.Line?.AmountLeft?.Least)),
        new("left_most", r => Number(r.Line?.AmountLeft?.Most)),
        new("left_unit", r => r.Line?.AmountLeft?.Unit),
        new("question", r =>
            r.Missing?.Question ?? (r.Part?.Questions is [var first, ..] ? first : null), IsText: true),
        new("force", r => r.Part?.Force is { } force ? WireNames.Of(force) : null),
        new("limit_force", r => r.Line is { } line ? WireNames.Of(line.Limit.Force) : null),
    ];

    public static IEnumerable<StatusRow> Rows(StatusListReply list) =>
    [
        .. list.Items.SelectMany(part =>
            part.Limits.DefaultIfEmpty().Select(line => new StatusRow(list, part, line, null))),
        .. list.NotRecorded.Select(missing => new StatusRow(list, null, null, missing)),
    ];

    private static string? Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string? Number(decimal? number) => number?.ToString("0.###", CultureInfo.InvariantCulture);
}
