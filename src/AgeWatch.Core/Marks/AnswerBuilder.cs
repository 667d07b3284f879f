using System.Runtime.InteropServices;

namespace AgeWatch.Core.Marks;

/// <summary>Turns what was collected into an answer: equal meanings become one, in the order of the calendar.</summary>
internal static class AnswerBuilder
{
    public static MarkAnswer Refused(string? convention, DropCode code) =>
        new([], [new(convention, null, code)], []);

    public static MarkAnswer Build(ReadingCollector collector, bool completed)
    {
        var (readings, remote) = FarReadings.Part(
            collector.Question, Merge(collector, collector.Kept), Merge(collector, collector.Rare));
        var dropped = completed && readings.Length > 0 ? [] : Distinct(collector.DroppedOnes, collector.Plan.Count > 1);
        return new(readings, dropped, QuestionFinder.For(collector, readings, dropped, completed)) { Remote = remote };
    }

    /// <summary>Same days and kind: one reading, naming every convention in the order tried.</summary>
    private static MarkReading[] Merge(ReadingCollector collector, List<ReadingCollector.Candidate> kept)
    {
        if (kept.Count == 0)
        {
            return [];
        }

        Span<int> order = kept.Count <= 128 ? stackalloc int[kept.Count] : new int[kept.Count];
        for (var i = 0; i < order.Length; i++)
        {
            order[i] = i;
        }

        order.Sort((a, b) => Compare(kept[a], kept[b]) is var c and not 0 ? c : a.CompareTo(b));
        var distinct = 1;
        for (var i = 1; i < order.Length; i++)
        {
            distinct += Compare(kept[order[i - 1]], kept[order[i]]) == 0 ? 0 : 1;
        }

        var readings = new MarkReading[distinct];
        for (int i = 0, next = 0; i < order.Length;)
        {
            var end = i + 1;
            while (end < order.Length && Compare(kept[order[i]], kept[order[end]]) == 0)
            {
                end++;
            }

            readings[next++] = One(collector, kept, order[i..end]);
            i = end;
        }

        return readings;
    }

    private static MarkReading One(
        ReadingCollector collector, List<ReadingCollector.Candidate> kept, ReadOnlySpan<int> same)
    {
        var first = kept[same[0]];
        var assumed = first.Assumed;
        var digits = first.YearDigits;
        var several = collector.Several;
        several.Clear();
        foreach (var index in same[1..])
        {
            var other = kept[index];
            if (other.Convention == first.Convention)
            {
                // Of two ways to the same days the one with fewer assumptions stands.
                assumed &= other.Assumed | ~MarkAssumption.DateGroupSplit;
                digits = Math.Max(digits, other.YearDigits);
                continue;
            }

            if (several.Count == 0)
            {
                several.Add(first.Convention);
            }

            if (!several.Contains(other.Convention))
            {
                several.Add(other.Convention);
            }
        }

        return new(several.Count == 0
            ? first.Convention.Alone
            : Shared(collector), first.Kind, first.Span, first.Precision, digits, assumed);
    }

    /// <summary>With an unreadable character the same conventions share many readings: they are listed once.</summary>
    private static MarkConvention[] Shared(ReadingCollector collector)
    {
        foreach (var known in collector.Lists)
        {
            if (known.AsSpan().SequenceEqual(CollectionsMarshal.AsSpan(collector.Several)))
            {
                return known;
            }
        }

        MarkConvention[] list = [.. collector.Several];
        collector.Lists.Add(list);
        return list;
    }

    private static int Compare(in ReadingCollector.Candidate a, in ReadingCollector.Candidate b) =>
        a.Span.CompareTo(b.Span) is var days and not 0 ? days : (int)b.Kind - (int)a.Kind;

    /// <summary>When all conventions were tried, the same days dropped for the same reason are said once.</summary>
    private static DroppedReading[] Distinct(List<ReadingCollector.Dropped> dropped, bool undeclared)
    {
        var distinct = new DroppedReading[dropped.Count];
        var count = 0;
        for (var i = 0; i < dropped.Count; i++)
        {
            var entry = dropped[i];
            var seen = false;
            for (var j = 0; j < i && !seen; j++)
            {
                seen = dropped[j] == entry
                    || (undeclared
                        && entry.Span is not null
                        && dropped[j].Span == entry.Span
                        && dropped[j].Code == entry.Code);
            }

            if (!seen)
            {
                distinct[count++] = new(entry.Key, entry.Span, entry.Code);
            }
        }

        return count == distinct.Length ? distinct : distinct[..count];
    }
}
