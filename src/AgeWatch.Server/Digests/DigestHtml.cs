using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.RegularExpressions;
using System.Text.Unicode;
using AgeWatch.Core;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Digests;

/// <summary>The HTML part: tables, inline colours for light, one style block for dark, no images, nothing to
/// load.</summary>
/// <remarks>Mail clients drop what they do not know, so every inline colour comes as a pair of text and
/// ground.</remarks>
internal static partial class DigestHtml
{
    private const int BarWidth = 100;

    private const string Ground = "background-color:#ffffff;color:#1a1a1a";
    private const string Quiet = "background-color:#ffffff;color:#4a4a4a";
    private const string Anchor = "color:#0b4f8a;text-decoration:underline";
    private const string Font = "font-family:-apple-system,'Segoe UI',Roboto,Helvetica,Arial,sans-serif";

    private static readonly HtmlEncoder Encoder = HtmlEncoder.Create(UnicodeRanges.All);

    public static string Write(DigestContent digest)
    {
        var html = new StringBuilder(16 * 1024);
        html.Append(CultureInfo.InvariantCulture, $$"""
            <!DOCTYPE html>
            <html lang="en">
            <head>
            <meta charset="utf-8">
            <meta name="viewport" content="width=device-width, initial-scale=1">
            <meta name="color-scheme" content="light dark">
            <title>{{Plain(digest.Subject)}}</title>
            <style>
            :root { color-scheme: light dark; }
            @media (prefers-color-scheme: dark) {
            .page { background-color: #101214 !important; }
            .ground { background-color: #1b1e22 !important; color: #f2f2f2 !important; }
            .quiet { background-color: #1b1e22 !important; color: #c9cdd2 !important; }
            .link { color: #9ecbff !important; }
            .line { border-color: #8b929a !important; }
            .worst { border-color: #ff8078 !important; }
            .grave { border-color: #ffb454 !important; }
            .strong { background-color: #f2f2f2 !important; color: #101214 !important; border-color: #f2f2f2 !important; }
            .made { background-color: #4a5058 !important; border-color: #c9cdd2 !important; }
            .life { background-color: #1b1e22 !important; border-color: #c9cdd2 !important; }
            .due { background-color: #9aa1a9 !important; border-color: #c9cdd2 !important; }
            .past { background-color: #f2f2f2 !important; border-color: #f2f2f2 !important; }
            }
            </style>
            </head>
            <body class="page" style="margin:0;padding:0;background-color:#eeeeec">
            <div style="display:none;max-height:0;overflow:hidden;font-size:1px;line-height:1px">{{Plain(Preheader(digest))}}</div>
            <main>
            <table class="page" role="presentation" style="width:100%;border-collapse:collapse;background-color:#eeeeec">
            <tr><td style="padding:12px 8px">
            <table class="ground" role="presentation" style="width:100%;max-width:600px;margin:0 auto;border-collapse:collapse;{{Ground}};{{Font}};font-size:16px;line-height:1.45">
            <tr><td class="ground" style="padding:20px 16px 4px;{{Ground}}">
            <h1 style="margin:0;font-size:22px;line-height:1.25">{{Heading(digest)}}</h1>
            <p class="quiet" style="margin:6px 0 0;{{Quiet}};font-size:15px">{{Name(digest.Club)}}, for {{Name(digest.Recipient)}}, {{Text($"{digest.LocalDate:yyyy-MM-dd}")}}</p>
            </td></tr>

            """);

        var number = 0;
        Section(html, "Act on, worst hazard first", digest.Lines, ref number);
        HeldBack(html, digest);
        Section(html, "Unknown: not the same as good", digest.Unknowns, ref number);
        Section(html, "Deferrals that end soon", digest.DeferralsEnding, ref number);
        List(html, "Needs an officer", (digest.Troubles ?? []).Select(Name));
        List(html, "Moved off your list, thank you", digest.MovedOff.Select(Name));
        List(
            html, "Before you start",
            digest.Cautions.Select(c => $"<strong>{Text(c.Heading)}:</strong> {Text(c.Text)}"));
        Foot(html, digest);

        html.Append("""
            </table>
            </td></tr>
            </table>
            </main>
            </body>
            </html>

            """);
        return html.ToString();
    }

    private static string Heading(DigestContent digest) => (digest.Lines.Count, digest.Unknowns.Count) switch
    {
        (0, 0) when digest.DeferralsEnding.Count == 0 => "The club needs an officer",
        (0, 0) => "Deferrals that end soon",
        (0, 1) => "1 part of unknown age",
        (0, var unknown) => $"{unknown} parts of unknown age",
        (1, _) => $"1 thing to act on{digest.MandatoryAside}",
        var (lines, _) => $"{lines} things to act on{digest.MandatoryAside}",
    };

    private static string Preheader(DigestContent digest) =>
        (digest.Lines.Count > 0
            ? digest.Lines
            : digest.Unknowns.Count > 0
            ? digest.Unknowns
            : digest.DeferralsEnding) is [var first, ..]
            ? first.Action
            : digest.Club;

    private static void Section(StringBuilder html, string heading, IReadOnlyList<DigestLine> lines, ref int number)
    {
        if (lines.Count == 0)
        {
            return;
        }

        html.Append(CultureInfo.InvariantCulture, $"""
            <tr><td class="ground" style="padding:18px 16px 0;{Ground}"><h2 style="margin:0;font-size:18px;line-height:1.3">{heading}</h2></td></tr>

            """);
        foreach (var line in lines)
        {
            number++;
            Line(html, line, number);
        }
    }

    private static void Line(StringBuilder html, DigestLine line, int number)
    {
        var urgent = line.State is DueState.StopUse or DueState.Overdue;
        var badge = urgent
            ? "class=\"strong\" style=\"background-color:#1a1a1a;color:#ffffff;border:1px solid #1a1a1a;padding:1px "
                + "6px;font-size:14px;font-weight:bold\""
            : $"class=\"ground line\" style=\"{Ground};border:1px solid #6a6a6a;padding:1px "
                + $"6px;font-size:14px;font-weight:bold\"";
        html.Append(CultureInfo.InvariantCulture, $"""
            <tr><td class="ground" style="padding:12px 16px 0;{Ground}">
            <table class="{EdgeName(line.Hazard)}" role="presentation" style="width:100%;border-collapse:collapse;border-left:{Edge(line.Hazard)}">
            <tr><td class="ground" style="padding:0 0 2px 12px;{Ground}">
            <h3 style="margin:0;font-size:17px;line-height:1.35">{number}. {Name(line.Action)}</h3>
            <p style="margin:6px 0 0"><span {badge}>{Text(Words.Of(line.State, line.Certainty, line.Force))}</span> <span class="quiet" style="{Quiet};font-size:14px">{Text(Words.Of(line.Hazard))}</span></p>

            """);
        foreach (var (label, fact) in DigestWords.Facts(line))
        {
            html.Append(CultureInfo.InvariantCulture, $"""
                <p style="margin:4px 0 0;overflow-wrap:anywhere"><strong>{label}:</strong> {Name(fact)}</p>

                """);
        }

        if (line.Life is { } life)
        {
            Bar(html, life);
        }

        if (Web(line.VehicleLink) is { } link)
        {
            html.Append(CultureInfo.InvariantCulture, $"""
                <p style="margin:6px 0 0"><a class="link" href="{link}" style="{Anchor}">Open {Name(line.Vehicle)}</a></p>

                """);
        }

        html.Append("</td></tr>\n</table>\n</td></tr>\n");
    }

    private static string EdgeName(HazardClass hazard) => hazard switch
    {
        HazardClass.Catastrophic => "worst",
        HazardClass.Critical => "grave",
        _ => "line",
    };

    private static string Edge(HazardClass hazard) => hazard switch
    {
        HazardClass.Catastrophic => "6px solid #a40000",
        HazardClass.Critical => "6px double #8a4b00",
        HazardClass.Marginal => "3px solid #4a4a4a",
        HazardClass.Negligible => "3px dotted #4a4a4a",
    };

    /// <summary>The line-of-life picture: cells told apart by ground and border, so that it reads in black and white
    /// too.</summary>
    private static void Bar(StringBuilder html, LifeLine life)
    {
        var today = Math.Clamp(life.TodayAt(BarWidth), 1, BarWidth);
        var caption = Plain(life.Caption);
        html.Append(CultureInfo.InvariantCulture, $"""
            <table role="img" aria-label="Line of life: {caption}" style="width:100%;margin:8px 0 0;border-collapse:collapse;table-layout:fixed">
            <tr>
            """);
        foreach (var (stretch, share) in life.Stretches(BarWidth))
        {
            var (name, style) = stretch switch
            {
                LifeStretch.Made => ("made", "background-color:#d4d4d0;border:1px dotted #1a1a1a"),
                LifeStretch.InLife => ("life", "background-color:#ffffff;border:1px solid #1a1a1a"),
                LifeStretch.MayBeDue => ("due", "background-color:#8c8c88;border:1px dashed #1a1a1a"),
                LifeStretch.PastLimit => ("past", "background-color:#1a1a1a;border:1px solid #1a1a1a"),
            };
            html.Append(CultureInfo.InvariantCulture, $"""<td class="{name}" style="width:{share}%;height:12px;padding:0;font-size:1px;line-height:12px;{style}">&nbsp;</td>""");
        }

        html.Append(CultureInfo.InvariantCulture, $"""
            </tr>
            </table>
            <table role="presentation" style="width:100%;border-collapse:collapse;table-layout:fixed"><tr><td class="quiet" style="width:{today}%;padding:0;text-align:right;{Quiet};font-size:12px;line-height:14px" aria-hidden="true">&#9650;</td>{(today < BarWidth ? $"""<td style="width:{BarWidth - today}%;padding:0"></td>""" : "")}</tr></table>
            <p class="quiet" style="margin:0;{Quiet};font-size:13px">{Text(life.Caption)}</p>

            """);
    }

    private static void HeldBack(StringBuilder html, DigestContent digest)
    {
        if (digest.HeldBack > 0)
        {
            var rest = digest.HeldBackSentence;
            html.Append(CultureInfo.InvariantCulture, $"""
                <tr><td class="ground" style="padding:14px 16px 0;{Ground}"><p style="margin:0">{(Web(digest.ListLink) is { } link ? $"""<a class="link" href="{link}" style="{Anchor}">{rest}</a>""" : rest)}.</p></td></tr>

                """);
        }
    }

    private static void List(StringBuilder html, string heading, IEnumerable<string> items)
    {
        var lines = string.Concat(items.Select(item => $"<li style=\"margin:4px 0 0\">{item}</li>\n"));
        if (lines.Length > 0)
        {
            html.Append(CultureInfo.InvariantCulture, $"""
                <tr><td class="ground" style="padding:18px 16px 0;{Ground}"><h2 style="margin:0;font-size:18px;line-height:1.3">{heading}</h2>
                <ul style="margin:6px 0 0;padding:0 0 0 20px">
                {lines}</ul></td></tr>

                """);
        }
    }

    private static void Foot(StringBuilder html, DigestContent digest)
    {
        html.Append(CultureInfo.InvariantCulture, $"""
            <tr><td class="ground" style="padding:18px 16px 20px;{Ground}">
            <p style="margin:0;font-weight:bold">{DigestContent.DeferTo}</p>
            <p class="quiet" style="margin:8px 0 0;{Quiet};font-size:14px">{Text(DigestText.RuleSentence(digest))}</p>

            """);
        Link(html, digest.ListLink, "Everything, with its reasons");
        if (digest.LinksUntil is { } until)
        {
            html.Append(CultureInfo.InvariantCulture, $"""
                <p class="quiet" style="margin:8px 0 0;{Quiet};font-size:14px">{Text(DigestText.LinksSentence(until))}</p>

                """);
        }

        Link(html, digest.UnsubscribeLink, "Stop these mails");
        html.Append("</td></tr>\n");
    }

    private static void Link(StringBuilder html, Uri? link, string words)
    {
        if (Web(link) is { } address)
        {
            html.Append(CultureInfo.InvariantCulture, $"""
                <p style="margin:8px 0 0;font-size:14px"><a class="link" href="{address}" style="{Anchor}">{words}</a></p>

                """);
        }
    }

    private static string Plain(string text) => Encoder.Encode(DigestWords.OneLine(text));

    /// <summary>A date that breaks at its hyphens is hard to read on a phone.</summary>
    private static string Text(string text) =>
        Dates().Replace(Plain(text), "<span style=\"white-space:nowrap\">$0</span>");

    /// <summary>Text that members may have written: kept from turning the direction of what stands around it.</summary>
    private static string Name(string text) => $"<bdi>{Text(text)}</bdi>";

    private static string? Web(Uri? link) =>
        link is { IsAbsoluteUri: true, Scheme: "https" or "http" } ? Encoder.Encode(link.AbsoluteUri) : null;

    [GeneratedRegex(@"\b\d{4}-\d{2}(-\d{2})?\b")]
    private static partial Regex Dates();
}
