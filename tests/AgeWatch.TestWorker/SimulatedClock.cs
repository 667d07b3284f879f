using System.Globalization;

namespace AgeWatch.TestWorker;

/// <summary>A clock that several processes read from one file, that can be set on, and that runs faster than the real
/// one.</summary>
/// <remarks>
/// Everything that the program asks of its clock keeps its proportions: leases, pauses and pulses are as many times
/// shorter as the time of day is faster. The file holds three whole numbers: a real instant, the simulated instant at
/// that moment (both in ticks of UTC) and the speed.
/// </remarks>
public sealed class SimulatedClock(string file) : TimeProvider
{
    private (long Real, long Simulated, int Speed) _last = Read(file);

    public override DateTimeOffset GetUtcNow()
    {
        var (real, simulated, speed) = _last = Read(file);
        return new(simulated + (DateTime.UtcNow.Ticks - real) * speed, TimeSpan.Zero);
    }

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period) =>
        new ScaledTimer(base.CreateTimer(callback, state, Scaled(dueTime), Scaled(period)), this);

    /// <summary>Writes the file in one piece, so that no reader finds half of it.</summary>
    public static void Set(string file, DateTimeOffset simulated, int speed)
    {
        var draft = file + ".new";
        File.WriteAllText(
            draft,
            string.Create(CultureInfo.InvariantCulture, $"{DateTime.UtcNow.Ticks} {simulated.UtcTicks} {speed}"));
        File.Move(draft, file, overwrite: true);
    }

    private TimeSpan Scaled(TimeSpan span) =>
        span <= TimeSpan.Zero ? span : TimeSpan.FromMilliseconds(Math.Max(1, span.TotalMilliseconds / _last.Speed));

    private static (long Real, long Simulated, int Speed) Read(string file) =>
        File.ReadAllText(file).Split(' ') is [var real, var simulated, var speed]
            ? (
                long.Parse(real, CultureInfo.InvariantCulture), long.Parse(simulated, CultureInfo.InvariantCulture),
                int.Parse(speed, CultureInfo.InvariantCulture))
            : throw new InvalidDataException(file);

    private sealed class ScaledTimer(ITimer timer, SimulatedClock clock) : ITimer
    {
        public bool Change(TimeSpan dueTime, TimeSpan period) =>
            timer.Change(clock.Scaled(dueTime), clock.Scaled(period));

        public void Dispose() => timer.Dispose();

        public ValueTask DisposeAsync() => timer.DisposeAsync();
    }
}
