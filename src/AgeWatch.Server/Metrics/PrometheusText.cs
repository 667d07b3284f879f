using System.Globalization;
using System.Text;
using OpenTelemetry.Metrics;

namespace AgeWatch.Server.Metrics;

/// <summary>
/// The Prometheus text format 0.0.4 ("Exposition formats" in the Prometheus documentation), with names made from the
/// instruments' as the OpenTelemetry specification says ("Prometheus and OpenMetrics Compatibility").
/// </summary>
internal static class PrometheusText
{
    public const string ContentType = "text/plain; version=0.0.4; charset=utf-8";

    private static readonly Dictionary<string, string> Units = new()
    {
        ["s"] = "seconds",
        ["ms"] = "milliseconds",
        ["By"] = "bytes",
        ["d"] = "days",
        ["%"] = "percent",
    };

    public static byte[] Write(IEnumerable<Metric> metrics)
    {
        var text = new StringBuilder();
        HashSet<string> written = [];
        foreach (var metric in metrics)
        {
            // A second instrument of the same name would make the whole answer unreadable.
            var name = NameOf(metric.Name, metric.Unit, metric.MetricType is MetricType.LongSum
                or MetricType.DoubleSum);
            if (TypeOf(metric.MetricType) is { } type && written.Add(name))
            {
                Add(text, name, type, metric);
            }
        }

        return Encoding.UTF8.GetBytes(text.ToString());
    }

    /// <param name="unit">UCUM; what stands in braces is a remark and no unit.</param>
    public static string NameOf(string instrument, string unit, bool isTotal)
    {
        var name = Clean(instrument, isFirstFree: false);
        if (unit.Length > 0 && unit[0] != '{' && unit != "1")
        {
            var suffix = "_" + Clean(Units.GetValueOrDefault(unit, unit), isFirstFree: true);
            name = name.EndsWith(suffix, StringComparison.Ordinal) ? name : name + suffix;
        }

        return !isTotal || name.EndsWith("_total", StringComparison.Ordinal) ? name : name + "_total";
    }

    public static string EscapeHelp(string text) =>
        text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\n", "\\n", StringComparison.Ordinal);

    public static string EscapeLabel(string text) => EscapeHelp(text).Replace("\"", "\\\"", StringComparison.Ordinal);

    public static string Number(double value) => value switch
    {
        double.PositiveInfinity => "+Inf",
        double.NegativeInfinity => "-Inf",
        double.NaN => "NaN",
        _ => value.ToString("R", CultureInfo.InvariantCulture),
    };

    private static string? TypeOf(MetricType type) => type switch
    {
        MetricType.LongSum or MetricType.DoubleSum => "counter",
        MetricType.LongGauge or MetricType.DoubleGauge or MetricType.LongSumNonMonotonic
            or MetricType.DoubleSumNonMonotonic => "gauge",
        MetricType.Histogram => "histogram",
        _ => null,
    };

    private static void Add(StringBuilder text, string name, string type, Metric metric)
    {
        if (metric.Description is { Length: > 0 } help)
        {
            text.Append(CultureInfo.InvariantCulture, $"# HELP {name} {EscapeHelp(help)}\n");
        }

        text.Append(CultureInfo.InvariantCulture, $"# TYPE {name} {type}\n");
        foreach (ref readonly var point in metric.GetMetricPoints())
        {
            var labels = Labels(point);
            if (metric.MetricType == MetricType.Histogram)
            {
                AddHistogram(text, name, labels, point);
            }
            else
            {
                AddSample(text, name, labels, metric.MetricType switch
                {
                    MetricType.LongSum or MetricType.LongSumNonMonotonic => point.GetSumLong(),
                    MetricType.DoubleSum or MetricType.DoubleSumNonMonotonic => point.GetSumDouble(),
                    MetricType.LongGauge => point.GetGaugeLastValueLong(),
                    _ => point.GetGaugeLastValueDouble(),
                });
            }
        }
    }

    private static void AddHistogram(StringBuilder text, string name, string labels, in MetricPoint point)
    {
        var parted = labels.Length > 0 ? labels + "," : "";
        var count = 0L;
        foreach (var bucket in point.GetHistogramBuckets())
        {
            count += bucket.BucketCount;
            AddSample(text, name + "_bucket", $"{parted}le=\"{Number(bucket.ExplicitBound)}\"", count);
        }

        AddSample(text, name + "_sum", labels, point.GetHistogramSum());
        AddSample(text, name + "_count", labels, count);
    }

    private static void AddSample(StringBuilder text, string name, string labels, double value) =>
        text.Append(name)
            .Append(labels.Length > 0 ? $"{{{labels}}}" : "")
            .Append(' ')
            .Append(Number(value))
            .Append('\n');

    private static string Labels(in MetricPoint point)
    {
        List<string> labels = [];
        foreach (var (key, value) in point.Tags)
        {
            labels.Add($"{Clean(key, isFirstFree: false)}=\"{EscapeLabel(Convert.ToString(value, CultureInfo.InvariantCulture) ?? "")}\"");
        }

        labels.Sort(StringComparer.Ordinal);
        return string.Join(',', labels);
    }

    private static string Clean(string name, bool isFirstFree)
    {
        var clean = new StringBuilder(name.Length);
        foreach (var c in name)
        {
            var kept = char.IsAsciiLetterOrDigit(c) ? c : '_';
            if (clean.Length == 0 && char.IsAsciiDigit(kept) && !isFirstFree)
            {
                clean.Append('_');
            }

            if (kept != '_' || clean.Length == 0 || clean[^1] != '_')
            {
                clean.Append(kept);
            }
        }

        return clean.ToString();
    }
}
