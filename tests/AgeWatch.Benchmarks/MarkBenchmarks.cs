using AgeWatch.Core.Marks;
using BenchmarkDotNet.Attributes;

namespace AgeWatch.Benchmarks;

/// <summary>One undeclared mark with every convention tried. Aim: under 20 microseconds and 2 KB.</summary>
[MemoryDiagnoser]
public class MarkBenchmarks
{
    private MarkQuestion question = null!;

    /// <summary>A tyre, a hose, four figures that read in the most ways, a battery, a stamped date, a whole tyre
    /// number.</summary>
    [Params("0109", "3/94", "1012", "B9", "12 04 92", "DOT 1AB CDEFGH 0115", "Do Not Use After 06/2021")]
    public string Mark { get; set; } = "";

    /// <summary>Reads until the compiler's tiers have settled; the first mark would else be charged for them.</summary>
    [GlobalSetup]
    public void Setup()
    {
        question = new(Mark) { Observed = new(2026, 6, 30), NotBefore = new(1960, 1, 1) };
        for (var i = 0; i < 60_000; i++)
        {
            MarkReader.Read(question);
        }
    }

    [Benchmark]
    public MarkAnswer Undeclared() => MarkReader.Read(question);
}

/// <summary>One unreadable character: 36 texts are read, so the aim for one text does not apply.</summary>
[MemoryDiagnoser]
public class UnreadableMarkBenchmarks
{
    private readonly MarkQuestion question = new("31?7") { Observed = new(2026, 6, 30), NotBefore = new(1960, 1, 1) };

    [Benchmark]
    public MarkAnswer Undeclared() => MarkReader.Read(question);
}
