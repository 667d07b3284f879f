using System.Text.RegularExpressions;

namespace AgeWatch.Core.Catalogue;

/// <summary>One thing wrong with catalogue data.</summary>
/// <param name="Where">The key or id that it is found at.</param>
/// <param name="What">A sentence.</param>
public sealed record CatalogueFault(string Where, string What);

/// <summary>The rules that sound catalogue data keep. That every number has a tag is held by its types; the rest is
/// here.</summary>
internal static partial class CatalogueCheck
{
    private const int Kinds = 119;
    private const int CoreKinds = 89;
    private const string Deference = "Local codes and licensed practice take precedence.";

    public static IReadOnlyList<CatalogueFault> Faults(PartCatalogue catalogue)
    {
        var faults = new FaultList(catalogue);
        faults.Unless(catalogue.All.Count == Kinds, "part kinds", $"There are {catalogue.All.Count}, not {Kinds}.");
        var core = catalogue.All.Count(kind => kind.Core);
        faults.Unless(core == CoreKinds, "part kinds", $"There are {core} core kinds, not {CoreKinds}.");
        faults.UniqueKeys("part kind", catalogue.All.Select(kind => kind.Key));
        faults.UniqueKeys("caution", catalogue.Cautions.Select(caution => caution.Key));
        faults.UniqueKeys("threshold", catalogue.Thresholds.Select(threshold => threshold.Id));
        faults.UniqueKeys("law", catalogue.Laws.Select(law => law.Id));
        foreach (var kind in catalogue.All)
        {
            Check(kind, faults);
        }

        foreach (var reference in catalogue.References)
        {
            faults.Unless(
                reference.Id.StartsWith("R-", StringComparison.Ordinal), reference.Id,
                "A reference id begins with R-.");
            faults.Unless(reference.Tag is Tag.Standard
                or Tag.Memory, reference.Id, "A reference is read or from memory.");
            faults.Unless(
                catalogue.References.Count(r => r.Id == reference.Id) == 1, reference.Id,
                "The reference id stands twice.");
        }

        foreach (var threshold in catalogue.Thresholds)
        {
            Check(threshold, faults);
        }

        foreach (var law in catalogue.Laws)
        {
            faults.Known(law.PartKind, law.Id);
            faults.Source(Tag.Law, law.Reference, law.Id);
            faults.Unless(law.Months > 0, law.Id, "A limit is more than zero months.");
            faults.Unless(
                law.Country is [>= 'A' and <= 'Z', >= 'A' and <= 'Z'], law.Id, "A country is two capital letters.");
            faults.Unless(law.ValidFrom is null
                || law.ValidUntil is null
                || law.ValidFrom <= law.ValidUntil, law.Id, "The law ends before it begins.");
        }

        foreach (var caution in catalogue.Cautions)
        {
            faults.Unless(
                caution.Text.EndsWith(Deference, StringComparison.Ordinal), caution.Key,
                "A caution ends by deferring to local codes.");
            faults.Unless(
                catalogue.All.Any(kind => kind.Cautions.Contains(caution.Key)), caution.Key,
                "No part kind calls for this caution.");
            foreach (var kind in caution.PartKinds)
            {
                faults.Known(kind, caution.Key);
            }

            foreach (var reference in caution.References)
            {
                faults.Source(Tag.Standard, reference, caution.Key);
            }
        }

        return faults.Found;
    }

    private static void Check(PartKind kind, FaultList faults)
    {
        var at = kind.Key;
        foreach (var limit in kind.Limits)
        {
            int?[] numbers = [limit.Months, limit.Kilometres, limit.Hours];
            faults.Unless(
                numbers.Count(n => n is not null) == 1, at, "A limit has exactly one of months, kilometres and hours.");
            faults.Unless(numbers.All(n => n is null or > 0), at, "A limit is more than zero.");
            faults.Unless(limit.Months is not null || limit.End == EndRule.Day, at, "Only months have an end rule.");
            faults.Source(limit.Tag, limit.Reference, at);
        }

        faults.Unless(
            kind.Limits.GroupBy(limit => (limit.Level, limit.Months is null, limit.Kilometres is null))
                .All(group => group.Count() == 1),
            at, "Two limits of one level and unit.");
        var inspect = kind.AgeLimit(LimitLevel.InspectFrom)?.Months;
        var replace = kind.AgeLimit(LimitLevel.ReplaceBy)?.Months;
        var stop = kind.AgeLimit(LimitLevel.StopUse)?.Months;
        faults.Unless(!(inspect > replace)
            && !(replace > stop)
            && !(inspect > stop), at, "Limits go inspect, replace, stop.");

        Check(kind.Inspection.Months, at, faults);
        Check(kind.Inspection.Kilometres, at, faults);
        Check(kind.ShelfMonths, at, faults);
        Check(kind.StorageLimitMonths, at, faults);
        faults.Unless(kind.Labour.Low >= 0 && kind.Labour.Low <= kind.Labour.High, at, "Hours run from low to high.");
        faults.Unless(
            kind.LimitedBy.Contains(LifeEnd.Event) == kind.EndedBy.Count > 0, at,
            "A life limited by an event names the events.");
        faults.Unless(
            kind.Form == PartForm.ServiceTask || kind.Clock != AgeAnchor.Fill, at, "A fluid is a service task.");

        if (kind.FirstMade is { } first)
        {
            faults.Unless(first.Year is > 1900 and < 2000, at, "A kind was first made in the twentieth century.");
            faults.Unless(first.Why.Length > 0, at, "A first year says what it rests on.");
            faults.Source(
                first is { Tag: Tag.Memory, Reference: null } ? Tag.Practice : first.Tag, first.Reference, at);
        }

        foreach (var citation in kind.Citations)
        {
            faults.Source(Tag.Standard, citation, at);
        }

        string[] conventions = [.. kind.Mark.Likely, .. kind.Mark.Possible];
        faults.Unless(
            conventions.All(key => ConventionKey().IsMatch(key)), at,
            "A convention key is letters and figures with hyphens.");
        faults.Unless(conventions.Distinct().Count() == conventions.Length, at, "A convention stands twice.");
    }

    private static void Check(TaggedNumber? number, string at, FaultList faults)
    {
        if (number is not null)
        {
            faults.Unless(number.Value > 0, at, "A number is more than zero.");
            faults.Source(number.Tag, number.Reference, at);
        }
    }

    private static void Check(Threshold threshold, FaultList faults)
    {
        faults.Source(threshold.Tag, threshold.Reference, threshold.Id);
        faults.Unless(
            threshold.Comparison == Comparison.Within == threshold.UpTo is not null, threshold.Id,
            "Only a range has an upper end.");
        faults.Unless(!(threshold.UpTo < threshold.Value), threshold.Id, "A range runs from low to high.");
        faults.Unless(
            threshold.Use == ThresholdUse.Interval == threshold.Measure is null, threshold.Id,
            "An interval, and nothing else, has no measure.");
        foreach (var kind in threshold.PartKinds)
        {
            faults.Known(kind, threshold.Id);
        }
    }

    [GeneratedRegex("^[a-z0-9]+(-[a-z0-9]+)*$")]
    private static partial Regex HyphenatedKey();

    [GeneratedRegex("^[a-z0-9]+(-[A-Za-z0-9]+)*$")]
    private static partial Regex ConventionKey();

    private sealed class FaultList(PartCatalogue catalogue)
    {
        public List<CatalogueFault> Found { get; } = [];

        public void Unless(bool sound, string where, string what)
        {
            if (!sound)
            {
                Found.Add(new(where, what));
            }
        }

        public void UniqueKeys(string what, IEnumerable<string> keys)
        {
            foreach (var group in keys.GroupBy(key => key))
            {
                Unless(HyphenatedKey().IsMatch(group.Key), group.Key, "A key is lower case with hyphens.");
                Unless(group.Count() == 1, group.Key, $"The {what} key stands twice.");
            }
        }

        public void Known(string partKind, string where) =>
            Unless(catalogue.Find(partKind) is not null, where, $"There is no part kind {partKind}.");

        public void Source(Tag tag, string? reference, string where)
        {
            Unless(tag is Tag.Law or Tag.Standard or Tag.Practice
                or Tag.Memory, where, $"The tag {tag} is for an owner to give.");
            Unless(reference is not null || tag == Tag.Practice, where, "Only common practice is without a reference.");
            Unless(reference is null
                || catalogue.FindReference(reference) is not null, where, $"There is no reference {reference}.");
        }
    }
}
