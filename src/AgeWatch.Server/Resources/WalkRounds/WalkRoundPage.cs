using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.WalkRounds;
using AgeWatch.Server.Kernel.Pages;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <summary>The walk-round to carry along on a phone, or on paper with room to write.</summary>
internal static class WalkRoundPage
{
    private const string Css = """
        .ask { border-top: 1px solid var(--line); padding: .5rem 0; }
        .ask h3 { margin: 0 0 .2rem; }
        .ask p { margin: .2rem 0; }
        .write { display: flex; flex-wrap: wrap; gap: .4rem 1rem; align-items: end; }
        .line { flex: 1 1 12rem; border-bottom: 1px solid var(--text); min-height: 1.8rem; font-size: .85rem; }
        .box::before { content: "\2610\00a0"; }
        .box { white-space: nowrap; }
        """;

    public static HtmlPage Of(WalkRoundReply walk)
    {
        var number = 0;
        Html body = $"""
            <p class="quiet">On {Html.Day(walk.AsOf)}</p>
            <p><strong>{walk.Caution}</strong></p>
            <div class="write"><span class="line">Seen on</span><span class="line">By</span></div>
            {About(walk)}
            {walk.Questions.GroupBy(q => (q.Area, q.AreaName)).Select(area => (Html)$"""
                <section>
                <h2>{area.Key.AreaName}</h2>
                {area.Select(q => Ask(q, ++number)).ToList()}
                </section>
                """).ToList()}
            <section>
            <h2>Before you reach into any of it</h2>
            <ul>{walk.Cautions.Select(c => (Html)$"<li><strong>{c.Title}:</strong> {c.Text}</li>")}</ul>
            </section>
            <p class="quiet">Send the answers with POST to this address. Rules {walk.RuleVersion}.</p>
            """;
        return new HtmlPage($"Walk-round: {walk.Vehicle}", body, Css);
    }

    private static Html? About(WalkRoundReply walk) => walk.AboutVehicle.Count == 0 ? null : (Html)$"""
        <section>
        <h2>The vehicle</h2>
        {walk.AboutVehicle.Select(question => (Html)$"""<div class="ask whole"><p>{question}</p><div class="write"><span class="line"></span></div></div>""")}
        </section>
        """;

    private static Html Ask(WalkQuestionReply q, int number) => $"""
        <div class="ask whole">
        <h3>{number}. {Name(q)}</h3>
        <p>{Html.Dated(q.Ask)}</p>
        <p><strong>Where its date is:</strong> {q.Where}. <span class="quiet">{q.MarkNote}</span></p>
        {(q.LookFor.Count > 0 ? (Html)$"<p><strong>Look for:</strong> {string.Join("; ", q.LookFor)}.</p>" : null)}
        <p><strong>Why:</strong> {q.Why} ({Words.Of(q.Hazard)}). {Html.Dated(q.Decides)}</p>
        {Unseen(q)}
        {(q.Cautions.Count > 0 ? (Html)$"<p><strong>Mind:</strong> {string.Join(", ", Titles(q))}; see below.</p>" : null)}
        {Room(q)}
        </div>
        """;

    private static Html? Unseen(WalkQuestionReply q) => q.CouldNotSee is not { } note ? null
        : (Html)$"<p>It could not be seen on {Html.Day(note.On)}{(note.Note is { } why ? (Html)$": {Html.Said(why)}" : null)}.</p>";

    private static Html Room(WalkQuestionReply q) => $"""
        {Lines(q)}
        <p class="write"><span class="box">pass</span><span class="box">watch</span><span class="box">fail</span><span class="box">unfit</span>{(q.Purpose == WalkPurpose.Find ? (Html)$"""<span class="box">not there</span>""" : q.Purpose == WalkPurpose.Others ? (Html)$"""<span class="box">no others</span>""" : null)}<span class="box">could not see</span></p>
        """;

    // Each of the others has a place and a mark of its own.
    private static Html Lines(WalkQuestionReply q) => q.Purpose == WalkPurpose.Others
        ? (Html)$"""
            <div class="write"><span class="line">Where</span><span class="line">Mark, as read</span></div>
            <div class="write"><span class="line">Where</span><span class="line">Mark, as read</span></div>
            <div class="write"><span class="line">Seen</span></div>
            """
        : $"""
            <div class="write"><span class="line">{(q.Form == PartForm.ServiceTask ? "Last done on, at" : "Mark, as read")}</span><span class="line">Seen</span></div>
            """;

    private static IEnumerable<string> Titles(WalkQuestionReply q) =>
        q.Cautions.Select(key => PartCatalogue.BuiltIn.FindCaution(key)?.Title ?? key);

    private static Html Name(WalkQuestionReply q) =>
        q.Position is { } position ? (Html)$"{q.PartKindName}, {Html.Said(position)}" : $"{q.PartKindName}";
}
