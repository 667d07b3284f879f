using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Telling;

namespace AgeWatch.Server.Digests;

/// <summary>Puts what was chosen into words.</summary>
internal static class DigestComposer
{
    /// <param name="unit">The reader's own.</param>
    /// <param name="vehicleLink">Address of a vehicle's due list; null where no public address is set.</param>
    public static DigestContent Compose(
        string club,
        string recipient,
        DateOnly localDate,
        DigestChoice choice,
        IReadOnlyDictionary<Guid, DigestItem> items,
        DistanceUnit unit,
        PartCatalogue catalogue,
        Func<Guid, Uri?> vehicleLink,
        string? previousRuleVersion = null,
        IReadOnlyList<string>? troubles = null,
        Uri? listLink = null)
    {
        var worked = choice.Lines.Concat(choice.DeferralsEnding)
            .SelectMany(telling => items[telling.Subject.SubjectId].Kind.Cautions)
            .ToHashSet();
        return new()
        {
            Club = club,
            Recipient = recipient,
            LocalDate = localDate,
            RuleVersion = catalogue.Version,
            Lines = Lines(choice.Lines),
            Unknowns = Lines(choice.Unknowns),
            DeferralsEnding = Lines(choice.DeferralsEnding),
            MovedOff = [.. choice.MovedOff.Where(items.ContainsKey).Select(id => DigestSentences.MovedOff(items[id]))],
            HeldBack = choice.HeldBack.Count,
            Cautions = [.. catalogue.Cautions
                .Where(caution => worked.Contains(caution.Key))
                .Select(DigestCaution.From)],
            PreviousRuleVersion = previousRuleVersion,
            Troubles = troubles,
            ListLink = listLink,
            UnsubscribeLink = null,
            HeldBackGravest = choice.HeldBack.Count(telling => telling.Subject.Hazard == HazardClass.Catastrophic),
        };

        IReadOnlyList<DigestLine> Lines(IReadOnlyList<ChosenLine> tellings) => [.. tellings.Select(Line)];

        DigestLine Line(ChosenLine telling)
        {
            var item = items[telling.Subject.SubjectId];
            return DigestSentences.Line(item, telling.Reason, unit, item.VehicleId is { } id ? vehicleLink(id) : null);
        }
    }
}
