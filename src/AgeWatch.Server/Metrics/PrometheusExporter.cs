using OpenTelemetry;
using OpenTelemetry.Metrics;

namespace AgeWatch.Server.Metrics;

/// <summary>Collects when it is asked. The ready-made exporter has been a pre-release for years, and the text is a page
/// of rules.</summary>
internal sealed class PrometheusExporter : BaseExporter<Metric>
{
    private readonly SemaphoreSlim _one = new(1);
    private byte[] _text = [];

    public PrometheusExporter() =>
        Reader = new(this) { TemporalityPreference = MetricReaderTemporalityPreference.Cumulative };

    public BaseExportingMetricReader Reader { get; }

    public async Task<byte[]> CollectAsync(CancellationToken stop)
    {
        await _one.WaitAsync(stop);
        try
        {
            Reader.Collect();
            return _text;
        }
        finally
        {
            _one.Release();
        }
    }

    public override ExportResult Export(in Batch<Metric> batch)
    {
        List<Metric> metrics = [];
        foreach (var metric in batch)
        {
            metrics.Add(metric);
        }

        _text = PrometheusText.Write(metrics);
        return ExportResult.Success;
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _one.Dispose();
        }

        base.Dispose(disposing);
    }
}
