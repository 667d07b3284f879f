using System.Globalization;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.StatusLists;

/// <summary>The status list to read on a phone or to print and keep with the car.</summary>
internal static class StatusListPage
{
    private const string Css = """
        .state { display: inline-block; border: 1px solid var(--text); padding: 0 .4rem; font-weight: bold; }
        table { overflow-wrap: break-word; }
        tbody th { overflow-wrap: anywhere; width: 45%; }
        .worst { border-width: 3px; }
        .part { border-top: 2px solid var(--line); margin-top: 1.2rem; padding-top: .2rem; }
        .halo { stroke: var(--ground); stroke-width: 6; }
        .part svg { display: block; width: 100%; max-width: 36rem; }
        .legend { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .3rem 1.2rem; }
        .sample { width: 34px; height: 18px; vertical-align: middle; }
        .beaten td { color: var(--quiet); font-style: italic; }
        dl { display: grid; grid-template-columns: max-content 1fr; gap: .15rem .8rem; }
        dt { font-weight: bold; }
        dd { margin: 0; }
        @media (max-width: 30rem) { dl { grid-template-columns: 1fr; } dd { margin: 0 0 .3rem 0; } table { font-size: .8125rem; } th, td { padding: .25rem .2rem; } .state { padding: 0 .15rem; } .part text { font-size: 12px; } }
        @media print { .part { margin-top: .6rem; } .part h2 { margin: .3rem 0; } .part svg { max-width: 24rem; } .part table { margin: .3rem 0; break-inside: avoid; } }
        @media print and (min-width: 35rem) { .part dl { grid-template-columns: max-content 1fr max-content 1fr; } .part dt.wide { grid-column: 1; } .part dd.wide { grid-column: 2 / -1; } }
        """;

    public static HtmlPage Of(StatusListReply list) => new(Title(list), Body(list, null), Css);

    /// <summary>As a link in a digest opens it, without a key.</summary>
    /// <param name="note">What the reader must know about the address.</param>
    public static HtmlPage OfLink(StatusListReply list, Html note) =>
        new(Title(list), Body(list, note), Css, isSecret: true);

    private static string Title(StatusListReply list) => $"Status list: {list.Vehicle}";

    private static Html Body(StatusListReply list, Html? note) => $"""
            <p class="quiet">On {Html.Day(list.AsOf)}</p>
            {note}
            {Vehicle(list)}
            {Summary(list)}
            {NotRecorded(list)}
            {Absent(list)}
            {LifePicture.Legend}
            {list.Items.Select((part, i) => Part(part, list.AsOf, i + 1))}
            {Cautions(list)}
            <p>{list.Caution} Rules {list.RuleVersion}.</p>
            """;

    private static Html Vehicle(StatusListReply list)
    {
        Html odometer = list.Odometer is { } o
            ? $"{Number(o.Value)} {WireNames.Of(o.Unit)} on {Html.Day(o.On)}"
            : (Html)$"no reading on record";
        return $"""
            <dl>
            <dt>Built</dt><dd>{(list.Built is { } built ? Span(built.First, built.Last) : (Html)$"not known")}</dd>
            {Fact("Registration", list.Registration)}
            {Fact("Chassis", list.Chassis)}
            {Fact("Club's reference", list.Reference)}
            <dt>Odometer</dt><dd>{odometer}</dd>
            </dl>
            """;
    }

    private static Html Summary(StatusListReply list) => $"""
        <table>
        <caption>Limited parts and service tasks, worst first</caption>
        <thead><tr><th scope="col">Part</th><th scope="col">State</th><th scope="col">Next due</th></tr></thead>
        <tbody>
        {list.Items.Select(part => (Html)$"""
            <tr><th scope="row">{Name(part)}</th><td>{State(part)}</td><td>{Next(part)}</td></tr>
            """)}
        </tbody>
        </table>
        """;

    private static Html? NotRecorded(StatusListReply list) => list.NotRecorded.Count == 0 ? null : (Html)$"""
        <h2>Not on record: unknown, never good</h2>
        <p>If the vehicle has one of these, nothing tells its age, and its failure can kill.</p>
        <ul>{list.NotRecorded.Select(missing => (Html)$"<li>{missing.PartKindName}</li>")}</ul>
        """;

    private static Html? Absent(StatusListReply list) => list.Absent.Count == 0 ? null : (Html)$"""
        <h2>Looked for and not on the vehicle</h2>
        <ul>{list.Absent.Select(a => (Html)$"<li>{PartCatalogue.BuiltIn.Find(a.PartKind)?.Name ?? a.PartKind}, {Html.Day(a.On)}{(a.By is { } by ? (Html)$", {Html.Said(by)}" : null)}</li>")}</ul>
        """;

    private static Html Part(SubjectStatusReply part, DateOnly asOf, int number) => $"""
        <section class="part">
        <div class="whole">
        <h2>{Name(part)}</h2>
        <p>{State(part)} <span class="quiet">{Words.Of(part.Hazard)}</span></p>
        {LifePicture.Of(part, asOf, number)}
        <dl>
        {Fact("Maker", part.Maker)}
        {Fact("Part number", part.PartNumber)}
        {Fact("Lot", part.Lot)}
        {Fact("Reference", part.Reference)}
        <dt>{(part.Kind == SubjectKind.Component ? "Made" : "Counted from")}</dt><dd>{Born(part.Born)}</dd>
        {Fact("Age", part.AgeMonths is { } age ? Between(age.Least, age.Most, "months") : "not known")}
        {Fact("Distance", part.Distance is { } run ? $"{Between(run.Least, run.Most, run.Unit)}, counted to {run.CountedOn:yyyy-MM-dd}" : "not known")}
        {Fact("Fitted", Day(part.FittedOn))}
        {Fact("Last done", part.LastDone is { } done ? Done(done) : "not on record")}
        {Fact("Last inspected", part.LastInspected is { } seen ? Seen(seen) : "not on record")}
        {Fact("Put off until", part.Deferral == DeferralStanding.Running ? Day(part.DeferredUntil) : null)}
        {(part.Questions is [var first, ..] ? (Html)$"""<dt class="wide">Would sharpen it</dt><dd class="wide"><bdi>{Html.Dated(first)}</bdi></dd>""" : null)}
        </dl>
        </div>
        {Limits(part)}
        </section>
        """;

    private static Html Limits(SubjectStatusReply part) => part.Limits.Count == 0 ? (Html)$"<p>No limit is known for it.</p>" : $"""
        <table>
        <caption>Limits of {Name(part)}, with the source of each number</caption>
        <thead><tr><th scope="col">Limit</th><th scope="col">Left</th></tr></thead>
        <tbody>
        {part.Limits.Select(line => (Html)$"""
            <tr class="{(line.Limit.Standing is LimitStanding.Beaten or LimitStanding.Met ? "beaten" : "counts")}"><td>{(line.Governs ? (Html)$"<strong>Governs.</strong> " : null)}{(line.Limit.Force == Force.Mandatory ? (Html)$"Mandatory: " : $"Recommended: ")}{Html.Dated(line.Words)}</td><td>{Left(line)}</td></tr>
            """)}
        </tbody>
        </table>
        """;

    private static Html Left(StatusLimitReply line)
    {
        if (line.Limit.Standing is LimitStanding.Beaten or LimitStanding.Met)
        {
            return $"does not count";
        }

        List<Html> left = [];
        if (line.DaysLeft is { } days)
        {
            left.Add($"""{Days(days.Earliest)}{(days.Latest is { } latest && latest != days.Earliest ? $", at the latest {Days(latest)}" : "")}""");
        }

        if (line.AmountLeft is { } amount)
        {
            left.Add($"""{(left.Count > 0 ? "; " : "")}{Between(amount.Least, amount.Most, amount.Unit)} at the reading of {Html.Day(amount.CountedOn)}""");
        }

        return left.Count > 0 ? (Html)$"{left}" : $"cannot be told";
    }

    private static Html Cautions(StatusListReply list)
    {
        var keys = list.Items.SelectMany(part => part.Cautions).ToHashSet();
        return $"""
            <h2>Before you work on any of it</h2>
            <ul>{PartCatalogue.BuiltIn.Cautions.Where(c => keys.Contains(c.Key)).Select(c => (Html)$"<li><strong>{c.Title}:</strong> {c.Text}</li>")}</ul>
            """;
    }

    private static Html Name(SubjectStatusReply part) =>
        part.Position is { } position ? (Html)$"{part.PartKindName}, {Html.Said(position)}" : $"{part.PartKindName}";

    private static Html State(SubjectStatusReply part) =>
        $"""<span class="state{(part.State is DueState.StopUse or DueState.Overdue or DueState.Unknown ? " worst" : "")}">{Words.Of(part.State, part.Certainty, part.Force)}</span>""";

    private static Html Next(SubjectStatusReply part) =>
        part.NextDue is { } due ? Span(due.Earliest, due.Latest) : $"cannot be told";

    private static Html Span(DateOnly first, DateOnly? last) =>
        last is not { } end
            ? (Html)$"{Html.Day(first)} at the earliest"
            : first == end
            ? Html.Day(end)
            : $"{Html.Day(first)} to {Html.Day(end)}";

    private static Html? Fact(string label, string? text) =>
        text is null ? null : (Html)$"<dt>{label}</dt><dd><bdi>{Html.Dated(text)}</bdi></dd>";

    private static Html Born(BornReply born) => born.Earliest is { } earliest
        ? (Html)$"{Span(earliest, born.Latest ?? earliest)}{(born.Mark is { } mark ? (Html)$", mark \"{Html.Said(mark)}\"" : null)} ({Basis(born.Evidence)})"
        : $"not known";

    private static string Basis(EvidenceKind? basis) => basis switch
    {
        EvidenceKind.Mark => "read off the part",
        EvidenceKind.Plate => "read off a plate",
        EvidenceKind.Document => "by a document, with time on the shelf",
        EvidenceKind.Fitted => "by the day it was fitted, with time on the shelf",
        EvidenceKind.Presumption => "presumed as old as the vehicle",
        EvidenceKind.Fill or EvidenceKind.Service or EvidenceKind.Regulatory => "the last time it was done",
        null => "nothing tells",
    };

    private static string Done(LastDoneReply done) =>
        $"{done.On:yyyy-MM-dd}{(done.Odometer is { } o ? $" at {Number(o.Value)} {WireNames.Of(o.Unit)}" : "")}{(done.By is { } by ? $", {by}" : "")}";

    private static string Seen(LastInspectedReply seen) =>
        $"{seen.On:yyyy-MM-dd}: "
            + $"{WireNames.Of(seen.Grade)}{(seen.Sign is { } sign ? $", {sign}" : "")}{(seen.By is { } by ? $", {by}" : "")}";

    private static string Days(int days) => days >= 0 ? $"{Number(days)} days" : $"{Number(-days)} days past";

    private static string Between(decimal least, decimal most, string unit) =>
        least == most ? $"{Number(least)} {unit}" : $"{Number(least)} to {Number(most)} {unit}";

    private static string? Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Number(decimal number) => number.ToString("#,0.#", CultureInfo.InvariantCulture);
}
