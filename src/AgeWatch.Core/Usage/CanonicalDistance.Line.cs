namespace AgeWatch.Core.Usage;

/// <summary>How the readings of all odometers make one line.</summary>
public sealed partial class CanonicalDistance
{
    /// <param name="Unused">What no run can use.</param>
    /// <param name="Cap">Kilometres a day that are believed.</param>
    /// <param name="Most">Kilometres a day between two odometers.</param>
    private sealed record Line(
        IReadOnlyList<InstrumentReadings> Odometers, IReadOnlyList<RefusedReading> Unused, decimal Cap, decimal Most,
            bool Strict)
    {
        /// <param name="right">A reading that is taken to be right; null: none more than the others.</param>
        public (CanonicalDistance Track, int Length, int Wild) Through(ShownDistance? right)
        {
            List<RefusedReading> refused = [.. Unused];
            List<CanonicalReading> readings = [];
            List<OpenGap> gaps = [];
            List<UnusualStep> unusual = [];
            var (low, high, wild) = (0m, 0m, 0);
            foreach (var instrument in Odometers)
            {
                var chain = instrument.LongestRun(Cap, Strict, refused, right);
                for (var i = 0; i < chain.Count; i++)
                {
                    var here = chain[i];
                    var continues = readings.Count == 0 || i > 0 || readings[^1].On == here.On;
                    var rollovers = 0;
                    if (i > 0)
                    {
                        var before = chain[i - 1];
                        var steps = instrument.Steps(before, here, Cap, Strict);
                        rollovers = steps[0].Rollovers;
                        low += steps[0].Kilometres;
                        high += steps[^1].Kilometres;
                        wild += steps[0].Kilometres > Cap * Math.Max(1, here.On.DayNumber - before.On.DayNumber)
                            ? 1
                            : 0;
                        if (steps.Count > 1)
                        {
                            gaps.Add(new(
                                before.On, here.On, [.. steps.Select(step => new Distance(step.Kilometres))], false));
                        }
                        else if (Unusually(steps[0].Kilometres, before.On, here.On, Cap) is { } perDay)
                        {
                            unusual.Add(new(
                                here, perDay,
                                InstrumentReadings.Slip(here, before, i + 1 < chain.Count ? chain[i + 1] : null, Cap)));
                        }
                    }
                    else if (!continues)
                    {
                        var from = readings[^1].On;
                        var most = Most * (here.On.DayNumber - from.DayNumber);
                        gaps.Add(new(from, here.On, [Distance.Zero, new(most)], true));
                        high += most;
                    }

                    readings.Add(new(here, new(low), new(high), continues, rollovers));
                }
            }

            return (new(readings, refused, gaps, unusual, Cap, Most), readings.Count, wild);
        }
    }
}
