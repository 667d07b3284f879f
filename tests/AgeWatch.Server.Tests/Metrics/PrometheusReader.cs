using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace AgeWatch.Server.Tests.Metrics;

internal sealed record Sample(string Name, IReadOnlyDictionary<string, string> Labels, double Value);

internal sealed record Family(string Name, string Type, string? Help, IReadOnlyList<Sample> Samples);

/// <summary>
/// Reads the text format 0.0.4 by the rules of "Exposition formats" in the Prometheus documentation and throws at the
/// first line that breaks one: names, escapes, one TYPE before the first sample, the lines of a metric in one group, no
/// sample twice, buckets in rising order that end with +Inf equal to the count.
/// </summary>
internal static partial class PrometheusReader
{
    private static readonly string[] Types = ["counter", "gauge", "histogram", "summary", "untyped"];

    public static IReadOnlyList<Family> Read(string text)
    {
        Require(text.Length == 0 || text[^1] == '\n', "The last line must end with a line feed.");
        Require(!text.Contains('\r', StringComparison.Ordinal), "Lines end with a line feed alone.");
        List<Family> families = [];
        HashSet<string> closed = [], seen = [];
        string? name = null, type = null, help = null;
        List<Sample> samples = [];
        foreach (var line in text.Split('\n').Where(line => line.Trim().Length > 0))
        {
            if (Comment().Match(line) is { Success: true } comment)
            {
                var (word, of, rest) = (comment.Groups[1].Value, comment.Groups[2].Value, comment.Groups[3].Value);
                Enter(of);
                if (word == "TYPE")
                {
                    Require(type is null
                        && samples.Count == 0
                        && Types.Contains(rest), $"TYPE once, before the samples: {line}");
                    type = rest;
                }
                else
                {
                    Require(help is null, $"HELP once: {line}");
                    help = Unescape(rest, isLabel: false);
                }
            }
            else if (line[0] != '#')
            {
                var sample = ReadSample(line);
                if (!IsOf(sample.Name))
                {
                    Enter(sample.Name);
                }

                Require(
                    seen.Add($"{sample.Name}{{{string.Join(',', sample.Labels.OrderBy(l => l.Key, StringComparer.Ordinal))}}}"),
                    $"Twice: {line}");
                samples.Add(sample);
            }
        }

        Close();
        return families;

        bool IsOf(string sample) => sample == name || (name is not null && type is "histogram" or "summary"
            && (sample == name + "_sum"
                || sample == name + "_count"
                || (type == "histogram" && sample == name + "_bucket")));

        void Enter(string next)
        {
            if (next == name)
            {
                return;
            }

            Close();
            Require(closed.Add(next), $"The lines of {next} do not stand together.");
            name = next;
        }

        void Close()
        {
            if (name is not null)
            {
                Family family = new(name, type ?? "untyped", help, samples);
                CheckHistogram(family);
                families.Add(family);
            }

            (name, type, help, samples) = (null, null, null, []);
        }
    }

    private static void CheckHistogram(Family family)
    {
        if (family.Type != "histogram")
        {
            return;
        }

        foreach (var one in family.Samples.GroupBy(sample =>
            string.Join(',', sample.Labels.Where(l => l.Key != "le").OrderBy(l => l.Key, StringComparer.Ordinal))))
        {
            var buckets = one.Where(sample => sample.Name.EndsWith("_bucket", StringComparison.Ordinal)).ToList();
            var bounds = buckets.Select(bucket => Number(bucket.Labels["le"])).ToList();
            Require(bounds.SequenceEqual(bounds.Order())
                && double.IsPositiveInfinity(bounds[^1]), $"Bounds of {family.Name}");
            Require(buckets.Select(b => b.Value)
                .SequenceEqual(buckets.Select(b => b.Value).Order()), $"Counts of {family.Name}");
            Require(buckets[^1]
                .Value.Equals(one.Single(sample => sample.Name == family.Name + "_count").Value),
                $"Count of {family.Name}");
            Require(one.Any(sample => sample.Name == family.Name + "_sum"), $"Sum of {family.Name}");
        }
    }

    private static Sample ReadSample(string line)
    {
        var match = SampleLine().Match(line);
        Require(match.Success, $"No sample: {line}");
        Dictionary<string, string> labels = [];
        foreach (Match label in Label().Matches(match.Groups["labels"].Value))
        {
            labels.Add(label.Groups[1].Value, Unescape(label.Groups[2].Value, isLabel: true));
        }

        return new(match.Groups["name"].Value, labels, Number(match.Groups["value"].Value));
    }

    private static double Number(string text) => text switch
    {
        "+Inf" => double.PositiveInfinity,
        "-Inf" => double.NegativeInfinity,
        "NaN" => double.NaN,
        _ => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture),
    };

    private static string Unescape(string text, bool isLabel)
    {
        StringBuilder plain = new();
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] != '\\')
            {
                plain.Append(text[i]);
                continue;
            }

            plain.Append(text[++i] switch
            {
                '\\' => '\\',
                'n' => '\n',
                '"' when isLabel => '"',
                _ => throw new FormatException($"No such escape: {text}"),
            });
        }

        return plain.ToString();
    }

    private static void Require(bool holds, string otherwise)
    {
        if (!holds)
        {
            throw new FormatException(otherwise);
        }
    }

    [GeneratedRegex(@"\A#[ \t]+(HELP|TYPE)[ \t]+([a-zA-Z_:][a-zA-Z0-9_:]*)[ \t]*(.*)\z")]
    private static partial Regex Comment();

    [GeneratedRegex("""\A(?<name>[a-zA-Z_:][a-zA-Z0-9_:]*)(\{(?<labels>([a-zA-Z_][a-zA-Z0-9_]*="([^"\\\n]|\\.)*",?)*)\})?[ \t]+(?<value>\S+)([ \t]+-?\d+)?\z""", RegexOptions.ExplicitCapture)]
    private static partial Regex SampleLine();

    [GeneratedRegex("""([a-zA-Z_][a-zA-Z0-9_]*)="((?:[^"\\\n]|\\.)*)",?""")]
    private static partial Regex Label();
}
