using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Core.Marks;
using AgeWatch.Server.Digests;
using AgeWatch.Server.Kernel.Http;
using AgeWatch.Server.Kernel.Pages;

namespace AgeWatch.Server.Resources.Conventions;

/// <summary>Every convention on one page, to be printed and taken to the car.</summary>
internal static class ConventionPage
{
    private const string Css = """

        figure { margin: .5rem 0; display: flex; flex-wrap: wrap; gap: .5rem 1.5rem; }
        dl { display: grid; grid-template-columns: max-content 1fr; gap: .15rem .8rem; }
        dt { color: var(--quiet); }
        dd { margin: 0; }
        dd ul { margin: 0; padding-left: 1.1rem; }
        .mark { font-family: ui-monospace, monospace; font-weight: bold; background: var(--shade); padding: 0 .25rem; }
        .one { border-top: 1px solid var(--line); padding: .2rem 0 .6rem; }
        .one h3 { margin-top: .5rem; }
        @media (min-width: 40rem) { .one { display: grid; grid-template-columns: 288px 1fr; column-gap: 1.5rem; align-items: start; } .one h3 { grid-column: 1 / -1; } }
        nav ul { columns: 16rem; padding-left: 1.1rem; }
        @media print { dl { gap: 0 .6rem; font-size: 9pt; line-height: 1.3; } }
        @media (max-width: 34rem) { dl { grid-template-columns: 1fr; gap: 0; } dt { margin-top: .3rem; font-size: .9em; } }
        """;

    /// <param name="today">The examples are read as if seen on this day.</param>
    public static HtmlPage Of(IReadOnlyList<MarkConvention> own, DateOnly today) => new(
        "Date marks on parts",
        $"""
        <p>How makers write dates, and how they are read here. Examples are read as if seen on {Html.Day(today)}, with nothing else known.</p>
        <ul>
        <li>A mark that can mean several things counts as the earliest of them. No mark is not a young part.</li>
        <li>Copy the mark as it stands, gaps and signs too. Type <span class="mark">?</span> for one character that cannot be made out.</li>
        <li>The age of a part does not tell its condition: look, feel and measure. To look at a mark, do not go under a car that stands on a jack alone.</li>
        <li>{DigestContent.DeferTo} The vehicle maker's figures come before these pages.</li>
        </ul>
        <nav class="screen" aria-label="On this page"><ul>
        {MarkSettings.Sections.Select(section => (Html)$"""<li><a href="#{section.Anchor}">{section.Heading}</a></li>""")}
        {(own.Count > 0 ? (Html)$"""<li><a href="#own">The club's own</a></li>""" : null)}
        </ul></nav>
        {MarkSettings.Sections.Select(section => Section(
            section.Heading, section.Anchor, [.. section.Settings.SelectMany(BuiltIn)], [], today))}
        {(own.Count > 0 ? Section("The club's own", "own", own, own, today) : null)}
        <h2 id="tags">Where a convention comes from</h2>
        <dl>
        {Enum.GetValues<Tag>().Select(tag => (Html)$"""<dt><span class="tag">{WireNames.Of(tag)}</span></dt><dd>{Words.Of(tag)}</dd>""")}
        </dl>
        """,
        Css);

    private static IEnumerable<MarkConvention> BuiltIn(MarkSetting setting) =>
        MarkConventions.All.Where(convention => MarkSettings.Of(convention.Key) == setting);

    private static Html Section(
        string heading, string anchor, IReadOnlyList<MarkConvention> conventions, IReadOnlyList<MarkConvention> own, DateOnly today) => $"""
        <h2 id="{anchor}">{heading}</h2>
        {conventions.Select(convention => One(convention, own, today))}
        """;

    private static Html One(MarkConvention convention, IReadOnlyList<MarkConvention> own, DateOnly today)
    {
        var about = convention.About;
        return $"""
            <section class="one whole" id="{convention.Key}">
            <h3>{Html.Said(about.Name)} <span class="quiet keep">{convention.Key}</span></h3>
            <figure>
            {MarkDrawing.Of(convention)}
            </figure>
            <dl>
            {Row("Looks like", about.LooksLike)}
            {Row("Found on", about.FoundOn)}
            {Row("Read on", convention.IsReadAnywhere ? "any part, where it is a plain date: month, week or quarter in words, month and year, or the year in full" : "")}
            {Row("Parts", string.Join(", ", convention.Parts.Where(part => part.Means is not null).Select(part => $"{part.Text.Trim()}: {part.Means}")))}
            {Row("Reads as", about.ReadsAs)}
            {Row("Mistaken for", about.MistakenFor)}
            <dt>Says</dt><dd>{(convention.Kind == MarkKind.Expiry ? "until when the part may be used" : "when the part was made")}</dd>
            {about.Examples.Select(example => Example(example.Text, convention, own, today))}
            <dt>Read for</dt><dd>{convention.Years.First.Year} to {(convention.Years.Last.Year < 2099 ? (Html)$"{convention.Years.Last.Year}" : $"now")}</dd>
            <dt>Source</dt><dd><span class="tag">{WireNames.Of(convention.Tag)}</span> {Html.Said(convention.Source)}</dd>
            </dl>
            </section>

            """;
    }

    private static Html? Row(string name, string words) =>
        words.Length > 0 ? (Html)$"<dt>{name}</dt><dd>{Html.Said(words)}</dd>\n" : null;

    private static Html Example(
        string mark, MarkConvention convention, IReadOnlyList<MarkConvention> own, DateOnly today)
    {
        var answer = MarkReader.Read(new(mark) { Convention = convention.Key, Observed = today }, own);
        var common = answer.Readings.Select(reading => reading.Assumptions)
            .DefaultIfEmpty([])
            .Aggregate((a, b) => [.. a.Intersect(b)]);
        var remarks = string.Join(' ', common.Concat(answer.Questions.Select(question => question.Sentence())));
        return $"""
            <dt>Example</dt><dd><span class="mark">{Html.Said(mark)}</span> {(answer.Readings.Count == 0 ? answer.Reason : "means")}
            <ul>{answer.Readings.Select(reading => Reading(reading, common, governs: reading == answer.Governing && answer.Readings.Count > 1))}</ul>
            <span class="quiet">{remarks}</span></dd>
            """;
    }

    private static Html Reading(MarkReading reading, IEnumerable<string> common, bool governs)
    {
        var span = reading.Span;
        Html days = span.IsOneDay
            ? (Html)$"{Html.Day(span.First)}"
            : $"{Html.Day(span.First)} to {Html.Day(span.Last)}";
        return $"""<li>{days}{(governs ? ", which counts" : "")} <span class="quiet">{string.Join(' ', reading.Assumptions.Except(common))}</span></li>""";
    }
}
