using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.WalkRounds;

/// <summary>What a walk-round depends on.</summary>
public sealed record WalkRoundRequest
{
    /// <summary>As many questions as a person answers in an afternoon.</summary>
    public const int UsualMost = 40;

    public required DateOnly AsOf { get; init; }

    /// <summary>The day on which the facts are stated; null: every fact counts.</summary>
    public DateOnly? KnownOn { get; init; }

    public VehicleForm Form { get; init; }

    public VehicleFacts Vehicle { get; init; } = VehicleFacts.Unknown;

    /// <summary>What is on record of the vehicle, each with its answer for <see cref="AsOf"/>.</summary>
    public IReadOnlyList<WalkSubject> Recorded { get; init; } = [];

    /// <summary>Keys of kinds that somebody has looked for and not found on the vehicle.</summary>
    public IReadOnlyCollection<string> Absent { get; init; } = [];

    /// <summary>Keys of kinds of which somebody has said that what is recorded is all there is.</summary>
    public IReadOnlyCollection<string> Complete { get; init; } = [];

    /// <summary>At most so many questions, the most telling; one or more.</summary>
    public int Most { get; init; } = UsualMost;

    public PartCatalogue Catalogue { get; init; } = PartCatalogue.BuiltIn;
}

/// <summary>The questions to take to a newly bought car.</summary>
/// <remarks>
/// A kind that most cars have and of which nothing is recorded is judged as if it were there and as old as the car:
/// that is what it would be until proved otherwise; and so are the others of a kind of which a vehicle has several. Of
/// all questions the most telling are kept: the worse hazard first, then the worse state, then the shorter warning,
/// then the failure that shows only when the part is needed. What is kept is put in the order of the areas, so that one
/// walk answers all. Common practice, no source.
/// </remarks>
public static class WalkRound
{
    public static IReadOnlyList<WalkQuestion> Questions(WalkRoundRequest request)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(request.Most);
        var recorded = request.Recorded.Select(subject => subject.PartKind).ToHashSet();
        var usage = UsageModel.For(
            request.Vehicle.Usage, request.Recorded.Select(subject => subject.Answer.Question.Subject),
            request.KnownOn);
        var order = request.Catalogue.All.Select((kind, index) => (kind.Key, index))
            .ToDictionary(k => k.Key, k => k.index);
        return
        [
            .. request.Recorded.Select(subject => About(subject, request.Catalogue)).OfType<WalkQuestion>()
                .Concat(request.Catalogue.All
                    .Where(kind => kind.Core && !recorded.Contains(kind.Key) && !request.Absent.Contains(kind.Key)
                        && WalkAreas.IsOnTheCar(kind) && FormFit.CanHave(request.Form, kind))
                    .Select(kind => Find(kind, request, usage))
                    .Concat(request.Recorded.GroupBy(subject => subject.PartKind)
                        .Select(same => Others(same.Key, [.. same], request, usage))
                        .OfType<WalkQuestion>())
                    .Where(question => question.Unanswered.State != DueState.InLife))
                .Order(Comparer<WalkQuestion>.Create((a, b) => Rank(a).CompareTo(Rank(b))))
                .Take(request.Most)
                .OrderBy(question => WalkAreas.PlaceOf(question.Area)),
        ];

        (HazardClass, DueState, WarningTime, bool, int, Guid) Rank(WalkQuestion q) => (
            q.Kind.Hazard.Class, q.Unanswered.State, q.Kind.Hazard.Warning, q.Kind.Hazard.Evident, order[q.Kind.Key],
            q.Subject?.Id
                ?? Guid.Empty);
    }

    /// <summary>Null: what is recorded needs no answer from the car today. A kind that the catalogue no longer has
    /// cannot be told where to look.</summary>
    private static WalkQuestion? About(WalkSubject subject, PartCatalogue catalogue)
    {
        if (catalogue.Find(subject.PartKind) is not { } kind)
        {
            return null;
        }

        WalkPurpose? purpose = subject.Answer switch
        {
            var answer when Asks(answer, DueAskCode.ReadMark) => WalkPurpose.ReadMark,
            var answer when Asks(answer, DueAskCode.WhichReading) => WalkPurpose.ChooseReading,
            var answer when Asks(answer, DueAskCode.WhenStarted) => WalkPurpose.TellDay,
            { State: DueState.Unknown or DueState.InspectDue } => WalkPurpose.Inspect,
            _ => null,
        };
        return purpose is { } ask
            ? new()
            {
                Kind = kind,
                Subject = subject,
                Purpose = ask,
                Area = WalkAreas.FirstOf(kind),
                Unanswered = subject.Answer
            }
            : null;
    }

    private static bool Asks(DueAnswer answer, DueAskCode code) => answer.Asks.Any(ask => ask.Code == code);

    /// <summary>Null: a vehicle has no more of them as a rule, or somebody has looked.</summary>
    private static WalkQuestion? Others(
        string key, IReadOnlyList<WalkSubject> recorded, WalkRoundRequest request, UsageModel usage) =>
        request.Catalogue.Find(key) is { Form: PartForm.Component } kind
        && UsualSets.Of(request.Form, kind) is { } most && (most == 0 || recorded.Count < most)
        && !request.Complete.Contains(key) && WalkAreas.IsOnTheCar(kind) && FormFit.CanHave(request.Form, kind)
            ? Find(kind, request, usage) with
            {
                Purpose = WalkPurpose.Others,
                Beside = recorded,
                Usual = most == 0
                ? null
                : most
            }
            : null;

    private static WalkQuestion Find(PartKind kind, WalkRoundRequest request, UsageModel usage) => new()
    {
        Kind = kind,
        Purpose = WalkPurpose.Find,
        Area = WalkAreas.FirstOf(kind),
        Unanswered = DueAssessment.Assess(new()
        {
            AsOf = request.AsOf,
            KnownOn = request.KnownOn,
            Kind = KindRules.From(kind, request.Catalogue),
            Vehicle = request.Vehicle,
            Subject = kind.Form == PartForm.Component ? new ComponentFacts() : new ServiceTaskFacts(),
            Usage = usage,
        }),
    };
}
