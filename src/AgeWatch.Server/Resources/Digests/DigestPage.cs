using AgeWatch.Core.Due;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Kernel.Pages;
using AgeWatch.Storage.Digests;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Resources.Digests;

/// <param name="Vehicle">Null: the shelf.</param>
/// <param name="Link">Relative; null: there is no page of it.</param>
/// <param name="Lines">Worst first; none: nothing is open.</param>
internal sealed record DigestPageGroup(string? Vehicle, string? Link, IReadOnlyList<DigestPageLine> Lines);

internal sealed record DigestPageLine(string Part, string? Position, SubjectState State);

/// <summary>The list behind a digest, and what is shown where a link no longer opens.</summary>
internal static class DigestPage
{
    private const string Css = """
        .state { display: inline-block; border: 1px solid var(--text); padding: 0 .4rem; font-weight: bold; }
        .worst { border-width: 3px; }
        table { overflow-wrap: break-word; }
        tbody th { overflow-wrap: anywhere; width: 45%; }
        th .quiet { display: block; font-weight: normal; font-size: .9em; }
        @media (max-width: 30rem) { table { font-size: .875rem; } th, td { padding: .25rem .2rem; } .state { padding: 0 .15rem; } }
        """;

    /// <summary>An address that was never in a digest.</summary>
    public static HtmlPage Unknown { get; } = Shut("This link is not complete", StatusCodes.Status404NotFound, $"""
        <p>Perhaps the mail program broke it in two: copy the whole address from the mail, or open it from the newest digest.</p>
        """);

    /// <summary>Expired, revoked, or of what is no longer its reader's; which of them is nobody's business but
    /// theirs.</summary>
    public static HtmlPage Closed { get; } = Shut("This link no longer opens", StatusCodes.Status410Gone, $"""
        <p>Links in a digest end on the day that the digest names; when the address it went to changes, when they are revoked, and
        when the car or the role is no longer yours.</p>
        """);

    /// <summary>What the reader must know about the page and its address.</summary>
    /// <param name="notShown">Parts and tasks of the vehicle that the reader is not subscribed to: a list cut short
    /// must not pass for all.</param>
    public static Html Note(Digest digest, int notShown = 0) => $"""
        {(notShown > 0 ? (Html)$"<p><strong>Not all of this vehicle: {notShown} more of its parts and tasks are on record, outside what you are subscribed to.</strong></p>" : null)}
        <p class="quiet screen">From the digest of {Html.Day(digest.LocalDate)}. This page shows the state of today, and its address opens without a key until
        and including {Html.Day(DigestLinks.LastDay(digest.LocalDate))}: whoever has it can read this.</p>
        """;

    /// <param name="isCut">There is more than the page shows.</param>
    public static HtmlPage List(Digest digest, DateOnly today, IReadOnlyList<DigestPageGroup> groups, bool isCut)
    {
        Html body = $"""
            <p class="quiet">On {Html.Day(today)}</p>
            {Note(digest)}
            {(groups.Count == 0 ? (Html)$"<p>Nothing of what the digest could speak of is open today. What nobody has written down is not in this list: unknown is never good.</p>" : null)}
            {groups.Select(Group)}
            {(isCut ? (Html)$"<p>There is more than this page shows. All of it is at <code>/v1/due</code>, with a key.</p>" : null)}
            <p>{DigestContent.DeferTo} The list counts days and distance; it does not see the part.</p>
            """;
        return new(digest.Kind == DigestKind.Officer
            ? "Dangers across the club"
            : "What needs something", body, Css, isSecret: true);
    }

    private static Html Group(DigestPageGroup group)
    {
        var name = group.Vehicle is { } vehicle ? Html.Said(vehicle) : (Html)$"On the shelf";
        return $"""
            <section class="whole">
            <h2>{name}</h2>
            {(group.Link is { } link ? (Html)$"<p class=\"screen\"><a href=\"{link}\">Every part of {name}, with its limits and their sources</a></p>" : null)}
            {(group.Lines.Count == 0 ? (Html)$"<p>Nothing on record is open.</p>" : $"""
                <table>
                <thead><tr><th scope="col">Part</th><th scope="col">State</th><th scope="col">Due</th></tr></thead>
                <tbody>
                {group.Lines.Select(Line)}
                </tbody>
                </table>
                """)}
            </section>
            """;
    }

    private static Html Line(DigestPageLine line)
    {
        var s = line.State;
        var isWorst = s.State is DueState.StopUse or DueState.Overdue or DueState.Unknown;
        return $"""
            <tr><th scope="row">{line.Part}{(line.Position is { } position ? (Html)$", {Html.Said(position)}" : null)} <span class="quiet">{Words.Of(s.Hazard)}</span></th><td><span class="state{(isWorst ? " worst" : "")}">{Words.Of(s.State, s.Certainty, s.Force)}</span></td><td>{Due(s)}</td></tr>
            """;
    }

    private static Html Due(SubjectState s) =>
        s.State == DueState.Unknown || s.DueEarliest is not { } first ? $"cannot be told"
        : s.DueLatest is not { } last || last == DateOnly.MaxValue ? $"{Html.Day(first)} at the earliest"
        : first == last ? Html.Day(first) : $"{Html.Day(first)} to {Html.Day(last)}";

    private static HtmlPage Shut(string title, int status, Html why)
    {
        Html body = $"""
            {why}
            <p>Each new digest brings new links. Until then an officer of your club can look it up, and whoever has a key finds the list at
            <code>/v1/due</code>.</p>
            <p>That a link does not open says nothing about your cars: it never means that nothing is due.</p>
            """;
        return new(title, body, status: status, isSecret: true);
    }
}
