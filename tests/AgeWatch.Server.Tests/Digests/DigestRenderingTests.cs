using System.Globalization;
using System.Net;
using System.Text.RegularExpressions;
using AgeWatch.Core;
using AgeWatch.Core.Due;
using AgeWatch.Server.Digests;

namespace AgeWatch.Server.Tests.Digests;

public sealed partial class DigestRenderingTests
{
    public DigestRenderingTests()
    {
        // For a look in a browser: DIGEST_SAMPLES names a folder that gets the sample digest.
        if (Environment.GetEnvironmentVariable("DIGEST_SAMPLES") is { } folder)
        {
            File.WriteAllText(Path.Combine(folder, "digest.html"), DigestHtml.Write(DigestSamples.Full));
            File.WriteAllText(Path.Combine(folder, "digest.txt"), DigestText.Write(DigestSamples.Full));
        }
    }

    [Fact]
    public void Text_and_html_say_the_same()
    {
        var text = Squeeze(DigestText.Write(DigestSamples.Full));
        var html = Squeeze(WebUtility.HtmlDecode(Tags()
            .Replace(InlineTags().Replace(Body(DigestHtml.Write(DigestSamples.Full)), ""), " ")));
        var digest = DigestSamples.Full;

        var facts = digest.Lines.Concat(digest.Unknowns).Concat(digest.DeferralsEnding)
            .SelectMany(line => DigestWords.Facts(line)
                .Select(fact => fact.Text)
                .Append(line.Action)
                .Append(Words.Of(line.State, line.Certainty)))
            .Concat(digest.MovedOff)
            .Concat(digest.Cautions.Select(c => c.Text))
            .Concat([
                DigestContent.DeferTo, "catalogue 1", "catalogue 0", "4 more held back", "2026-11-25", digest.Club,
                digest.Recipient])
            .Select(Squeeze);

        Assert.All(facts, fact =>
        {
            Assert.Contains(fact, text, StringComparison.Ordinal);
            Assert.Contains(fact, html, StringComparison.Ordinal);
        });
    }

    [Fact]
    public void Every_link_is_in_both_and_leads_to_the_web()
    {
        var text = DigestText.Write(DigestSamples.Full);
        var links = Links()
            .Matches(DigestHtml.Write(DigestSamples.Full))
            .Select(m => WebUtility.HtmlDecode(m.Groups[1].Value))
            .ToHashSet();

        Assert.Equal(5, links.Count);
        Assert.All(links, link => Assert.StartsWith("https://", link, StringComparison.Ordinal));
        Assert.All(links, link => Assert.Contains(link + "\n", text, StringComparison.Ordinal));
    }

    [Fact]
    public void Lines_keep_their_order_and_unknowns_stand_apart()
    {
        var text = DigestText.Write(DigestSamples.Full);

        int[] places =
        [
            Place("ACT ON"), Place("1. Do not use"), Place("2. Replace the tyres"), Place("3. Plan to"),
            Place("4 more held back"), Place("UNKNOWN"),
            Place("4. Find out"), Place("DEFERRALS"), Place("5. Change the coolant"), Place("MOVED OFF"),
            Place("BEFORE YOU START"), Place("Local codes"),
        ];
        Assert.Equal(places.Order(), places);

        int Place(string words) =>
            text.IndexOf(words, StringComparison.Ordinal) is var at and >= 0
                ? at
                : throw new InvalidOperationException(words);
    }

    /// <summary>ASVS 5 1.2.1, 1.3.7: whatever a member typed is text and nothing else.</summary>
    [Fact]
    public void Hostile_text_stays_text()
    {
        foreach (var hostile in DigestSamples.HostileTexts)
        {
            var line = DigestSamples.BrakeHoses with
            {
                Action = hostile,
                Vehicle = hostile,
                Why = hostile,
                Evidence = hostile,
                Owner = hostile,
                Question = hostile
            };
            var digest = DigestSamples.Full with
            {
                Club = hostile,
                Recipient = hostile,
                Lines = [line],
                MovedOff = [hostile],
                RuleVersion = hostile
            };
            var plain = Tags()
                .Matches(DigestHtml.Write(
                    DigestSamples.Full with { Lines = [DigestSamples.BrakeHoses with { Owner = "x" }] }))
                .Select(Name)
                .Where(IsBlock)
                .ToList();

            var html = DigestHtml.Write(digest);
            var text = DigestText.Write(digest);

            Assert.Equal(plain, Tags().Matches(html).Select(Name).Where(IsBlock));
            Assert.DoesNotContain('\u202E', html + text);
            Assert.DoesNotContain('\r', html + text);
            Assert.All(text, c => Assert.True(c == '\n' || !char.IsControl(c)));
        }

        static string Name(Match tag) => tag.Value.Split(' ', '>')[0];

        // Dates are kept together by a span each, and hostile text may hold none.
        static bool IsBlock(string name) => name is not ("<span" or "</span");
    }

    [Fact]
    public void Links_other_than_web_addresses_are_left_out()
    {
        var html =
            DigestHtml.Write(DigestSamples.Full with
            {
                Lines = [DigestSamples.BrakeHoses with { VehicleLink = new Uri(
                "javascript:alert(1)") }]
            });

        Assert.DoesNotContain("javascript", html, StringComparison.Ordinal);
    }

    /// <summary>WCAG 2.2 1.4.3: at least 4.5:1 for every pair of text and ground; formula of relative luminance from
    /// the standard.</summary>
    [Fact]
    public void Every_colour_pair_has_enough_contrast()
    {
        var html = DigestHtml.Write(DigestSamples.Full);
        var pairs = ColourPairs()
            .Matches(html)
            .Select(m => (Ground: m.Groups[1].Value, Text: m.Groups[2].Value))
            .Distinct()
            .ToList();

        Assert.True(pairs.Count >= 5);
        Assert.All(pairs, pair => Assert.True(Contrast(pair.Ground, pair.Text) >= 4.5, $"{pair}"));
        Assert.True(Contrast("ffffff", "0b4f8a") >= 4.5);
        Assert.True(Contrast("1b1e22", "9ecbff") >= 4.5);
    }

    [Fact]
    public void Html_loads_nothing_and_runs_nothing()
    {
        var html = DigestHtml.Write(DigestSamples.Full);

        Assert.DoesNotMatch(
            "(?i)<(img|script|link|iframe|form|svg|object|video|audio)\\b|@import|url\\(|position:|display:\\s*(flex|grid)",
            html);
        Assert.Single(Regex.Matches(html, "<h1[ >]"));
        Assert.All(Regex.Matches(html, "<table[^>]*>").Select(m => m.Value), table =>
            Assert.Matches("role=\"(presentation|img)\"", table));
        Assert.InRange(html.Length, 1, 100_000);
    }

    [Fact]
    public void The_subject_counts_and_names_no_part()
    {
        Assert.Equal(
            "3 to act on (3 mandatory), 1 unknown, 1 deferred until soon, 4 held back - Old Iron Club 2026-11-25",
            DigestSamples.Full.Subject);
        Assert.Equal(
            "1 unknown - Old Iron Club 2026-11-25",
            (DigestSamples.Full with { Lines = [], HeldBack = 0, DeferralsEnding = [] }).Subject);
        Assert.True((DigestSamples.Full with { Lines = [], Unknowns = [], DeferralsEnding = [] }).SaysNothing);
    }

    [Fact]
    public void Text_lines_are_at_most_72_wide_unless_one_word_is_longer() =>
        Assert.All(DigestText.Write(DigestSamples.Full).Split('\n'), line =>
            Assert.True(line.Length <= 76 || !line.Trim().Contains(' ', StringComparison.Ordinal), line));

    /// <summary>By hand: 100 days of life of which the first 10 are the birth span, due from day 60 to 79, today day
    /// 100.</summary>
    [Fact]
    public void A_life_is_drawn_to_scale()
    {
        var born = new DateOnly(2026, 1, 1);
        var life = new LifeLine(new(born, born.AddDays(9)), new(born.AddDays(60), born.AddDays(80)), born.AddDays(100));

        Assert.Equal(
            [(LifeStretch.Made, 10), (LifeStretch.InLife, 50), (LifeStretch.MayBeDue, 20), (LifeStretch.PastLimit, 20)],
            life.Stretches(100));
        Assert.Equal(100, life.TodayAt(100));
        Assert.Equal("made 2026-01-01 to 2026-01-10, due 2026-03-02 to 2026-03-22, today 2026-04-11", life.Caption);
    }

    [Fact]
    public void Odd_lives_are_drawn_without_a_gap()
    {
        var day = new DateOnly(2026, 1, 1);
        LifeLine[] lives =
        [
            new(DateSpan.Day(day), DateSpan.Day(day), day),
            new(DateSpan.Year(1950), DateSpan.Year(1951), day),
            new(new(new(1950, 1, 1), day), new(new(1955, 1, 1), day.AddYears(5)), day),
            new(DateSpan.Day(day), DateSpan.Day(DateOnly.MaxValue), day),
            new(DateSpan.Day(day.AddDays(5)), DateSpan.Day(day.AddDays(9)), day),
        ];

        foreach (var life in lives)
        {
            foreach (var width in new[] { 44, 100 })
            {
                var stretches = life.Stretches(width);
                Assert.Equal(width, stretches.Sum(s => s.Share));
                Assert.All(stretches, s => Assert.True(s.Share > 0));
                Assert.InRange(life.TodayAt(width), 0, width);
            }
        }
    }

    private static string Body(string html) => html[html.IndexOf("</head>", StringComparison.Ordinal)..];

    private static string Squeeze(string text) => Regex.Replace(text, "\\s+", " ").Trim();

    private static double Contrast(string a, string b)
    {
        var (x, y) = (Luminance(a), Luminance(b));
        return (Math.Max(x, y) + 0.05) / (Math.Min(x, y) + 0.05);
    }

    private static double Luminance(string hex)
    {
        var parts = Enumerable.Range(0, 3)
            .Select(i => int.Parse(hex.AsSpan(2 * i, 2), NumberStyles.HexNumber, CultureInfo.InvariantCulture) / 255.0)
            .Select(c => c <= 0.04045 ? c / 12.92 : Math.Pow((c + 0.055) / 1.055, 2.4)).ToArray();
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2];
    }

    [GeneratedRegex("<[^>]*>")]
    private static partial Regex Tags();

    [GeneratedRegex("</?(span|bdi|strong|a)\\b[^>]*>")]
    private static partial Regex InlineTags();

    [GeneratedRegex("href=\"([^\"]*)\"")]
    private static partial Regex Links();

    [GeneratedRegex("background-color:\\s?#([0-9a-f]{6})(?: !important)?;\\s?color:\\s?#([0-9a-f]{6})")]
    private static partial Regex ColourPairs();
}
