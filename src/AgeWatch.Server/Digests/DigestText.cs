using System.Globalization;
using System.Text;
using AgeWatch.Core.Due;

namespace AgeWatch.Server.Digests;

/// <summary>The plain-text part: everything the digest says, addresses included, for those who see nothing
/// else.</summary>
internal static class DigestText
{
    private const int Width = 72;
    private const int BarWidth = 44;

    public static string Write(DigestContent digest)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"AgeWatch digest, {digest.LocalDate:yyyy-MM-dd}\n");
        Wrap(text, "", $"{digest.Club}, for {digest.Recipient}");

        var number = 0;
        Section(text, "ACT ON (worst hazard first)", digest.Lines, ref number);
        if (digest.HeldBack > 0)
        {
            text.Append('\n');
            Wrap(text, "", digest.HeldBackSentence + (digest.ListLink is null ? "." : ":"));
            Link(text, "", digest.ListLink);
        }

        Section(text, "UNKNOWN (not the same as good: one answer settles each)", digest.Unknowns, ref number);
        Section(text, "DEFERRALS THAT END SOON", digest.DeferralsEnding, ref number);

        List(text, "NEEDS AN OFFICER", digest.Troubles ?? []);
        List(text, "MOVED OFF YOUR LIST, thank you", digest.MovedOff);
        List(text, "BEFORE YOU START", digest.Cautions.Select(caution => $"{caution.Heading}: {caution.Text}"));

        text.Append('\n');
        Wrap(text, "", DigestContent.DeferTo);
        if (digest.Lines.Concat(digest.DeferralsEnding).Concat(digest.Unknowns).Any(line => line.Life is not null))
        {
            Wrap(text, "", "Life bars: ? made, = in life, ~ may be due, # past the limit, | today.");
        }

        Wrap(text, "", RuleSentence(digest));
        if (digest.HeldBack == 0 && digest.ListLink is { } list)
        {
            text.Append("\nEverything, with its reasons:\n");
            Link(text, "", list);
        }

        if (digest.LinksUntil is { } until)
        {
            text.Append('\n');
            Wrap(text, "", LinksSentence(until));
        }

        if (digest.UnsubscribeLink is { } stop)
        {
            text.Append("\nStop these mails:\n");
            Link(text, "", stop);
        }

        return text.ToString();
    }

    public static string LinksSentence(DateOnly until) =>
        string.Create(
            CultureInfo.InvariantCulture,
            $"The links open without a key until and including {until:yyyy-MM-dd}. {DigestContent.LinksAreSecret}");

    public static string RuleSentence(DigestContent digest) =>
        digest.PreviousRuleVersion is { } before && before != digest.RuleVersion
        ? $"Rules: version {digest.RuleVersion}, before it {before}. What changed may be the rule and not the car."
        : $"Rules: version {digest.RuleVersion}.";

    private static void Section(StringBuilder text, string heading, IReadOnlyList<DigestLine> lines, ref int number)
    {
        if (lines.Count == 0)
        {
            return;
        }

        text.Append(CultureInfo.InvariantCulture, $"\n{heading}\n");
        foreach (var line in lines)
        {
            number++;
            text.Append('\n');
            Wrap(text, $"{number}. ", line.Action);
            Wrap(text, "   ", $"{Words.Of(line.State, line.Certainty, line.Force)} - {Words.Of(line.Hazard)}");
            foreach (var (label, fact) in DigestWords.Facts(line))
            {
                Wrap(text, "   ", $"{label}: {fact}", hang: 5);
            }

            if (line.Life is { } life)
            {
                text.Append("   ").Append(Bar(life)).Append('\n');
            }

            Link(text, "   ", line.VehicleLink);
        }
    }

    private static void List(StringBuilder text, string heading, IEnumerable<string> items)
    {
        foreach (var (index, item) in items.Index())
        {
            if (index == 0)
            {
                text.Append(CultureInfo.InvariantCulture, $"\n{heading}\n\n");
            }

            Wrap(text, "- ", item);
        }
    }

    private static string Bar(LifeLine life)
    {
        var bar = new StringBuilder(BarWidth + 24);
        foreach (var (stretch, share) in life.Stretches(BarWidth))
        {
            bar.Append(stretch switch
            {
                LifeStretch.Made => '?',
                LifeStretch.InLife => '=',
                LifeStretch.MayBeDue => '~',
                LifeStretch.PastLimit => '#',
            }, share);
        }

        bar.Insert(Math.Min(life.TodayAt(BarWidth), bar.Length), '|');
        return string.Create(CultureInfo.InvariantCulture, $"{life.Start:yyyy} {bar} {life.End:yyyy}");
    }

    private static void Link(StringBuilder text, string indent, Uri? link)
    {
        if (link is not null)
        {
            text.Append(indent).Append(link.AbsoluteUri).Append('\n');
        }
    }

    /// <summary>Breaks between words only; what follows the first line is set in by <paramref name="hang"/>, else under
    /// its text.</summary>
    private static void Wrap(StringBuilder text, string lead, string words, int? hang = null)
    {
        var indent = hang ?? lead.Length;
        var column = lead.Length;
        var startOfLine = true;
        text.Append(lead);
        foreach (var word in DigestWords.OneLine(words).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (!startOfLine && column + 1 + word.Length > Width)
            {
                text.Append('\n').Append(' ', indent);
                (column, startOfLine) = (indent, true);
            }

            if (!startOfLine)
            {
                text.Append(' ');
                column++;
            }

            text.Append(word);
            column += word.Length;
            startOfLine = false;
        }

        text.Append('\n');
    }
}
