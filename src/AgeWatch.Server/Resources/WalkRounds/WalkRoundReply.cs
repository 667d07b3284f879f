using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.WalkRounds;
using AgeWatch.Server.Answers;
using AgeWatch.Storage.Vehicles;
using AgeWatch.Storage.WalkRounds;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <summary>The questions to take to a car, in the order of a walk round it.</summary>
internal sealed record WalkRoundReply
{
    public required Guid VehicleId { get; init; }

    public required string Vehicle { get; init; }

    public required DateOnly AsOf { get; init; }

    /// <summary>What to find out about the vehicle as a whole first.</summary>
    public required IReadOnlyList<string> AboutVehicle { get; init; }

    public required IReadOnlyList<WalkQuestionReply> Questions { get; init; }

    /// <summary>Looked for and not on the vehicle: not asked again.</summary>
    public required IReadOnlyList<WalkNoteReply> Absent { get; init; }

    /// <summary>Kinds of which what is recorded is all there is, by somebody's word: the others are not asked
    /// about.</summary>
    public required IReadOnlyList<WalkNoteReply> Complete { get; init; }

    /// <summary>In full, of everything asked about.</summary>
    public required IReadOnlyList<Caution> Cautions { get; init; }

    public required string Caution { get; init; }

    public required string RuleVersion { get; init; }

    private const string Words =
        "Look, do not take apart. Reach into nothing that is hot, sprung, under pressure or held by a jack alone, "
            + "and leave air bags and gas to trained people. "
        + "The vehicle maker's instructions, local law and licensed practice come first; what cannot be seen safely "
        + "is answered with could-not-see.";

    public static WalkRoundReply Of(
        StoredVehicle stored, IReadOnlyList<SubjectQuestion> asked, WalkNotes notes, DateOnly today, int most)
    {
        var vehicle = stored.Vehicle!;
        var questions = WalkRound.Questions(new()
        {
            AsOf = today,
            KnownOn = today,
            Form = vehicle.Kind switch
            {
                VehicleKind.Car or VehicleKind.Van => VehicleForm.Car,
                VehicleKind.Motorcycle => VehicleForm.Motorcycle,
                VehicleKind.Trailer => VehicleForm.Trailer,
                VehicleKind.Caravan => VehicleForm.Caravan,
            },
            Vehicle = DueQuestions.VehicleOf(stored),
            Recorded = [.. asked.Select(a =>
                new WalkSubject(a.SubjectId, a.PartKind, a.Position, DueAssessment.Assess(a.Question)))],
            Absent = notes.Absent,
            Complete = notes.Complete,
            Most = most,
        });
        var cautions = questions.SelectMany(q => q.Kind.Cautions).ToHashSet();
        return new()
        {
            VehicleId = vehicle.Id,
            Vehicle = vehicle.Name,
            AsOf = today,
            AboutVehicle = [.. AboutTheVehicle(stored, today)],
            Questions = [.. questions.Select(q => WalkQuestionReply.Of(q, notes))],
            Absent = [.. notes.AbsentNotes.Select(WalkNoteReply.Of)],
            Complete = [.. notes.CompleteNotes.Select(WalkNoteReply.Of)],
            Cautions = [.. PartCatalogue.BuiltIn.Cautions.Where(c => cautions.Contains(c.Key))],
            Caution = Words,
            RuleVersion = PartCatalogue.BuiltIn.Version,
        };
    }

    private static IEnumerable<string> AboutTheVehicle(StoredVehicle stored, DateOnly today)
    {
        var vehicle = stored.Vehicle!;
        if (vehicle.Built is null)
        {
            yield return "When was it built? Look at the papers, the plate and the chassis number: every part "
                + "without a mark of its own is taken to be as old.";
        }
        else if (vehicle.Built is { } built && built.First.PlusMonthsClamped(2) <= built.Last)
        {
            yield return "In which month was it built? The earliest day counts until it is known.";
        }

        if (vehicle.Kind is not (VehicleKind.Trailer or VehicleKind.Caravan)
            && !stored.Readings.Any(r => r.ReadOn.PlusMonthsClamped(6) > today))
        {
            yield return "What does the odometer show today? Copy it as the drums show it.";
        }

        if (vehicle.Country is null)
        {
            yield return "In which country is it registered? That decides whose law holds.";
        }
    }
}

/// <summary>One question.</summary>
internal sealed record WalkQuestionReply
{
    public required string Area { get; init; }

    public required string AreaName { get; init; }

    public required string PartKind { get; init; }

    public required string PartKindName { get; init; }

    /// <summary>The recorded part or task to answer for; null: answer with partKind.</summary>
    public required Guid? SubjectId { get; init; }

    public required string? Position { get; init; }

    public required WalkPurpose Purpose { get; init; }

    public required PartForm Form { get; init; }

    /// <summary>What to do at the car.</summary>
    public required string Ask { get; init; }

    public required HazardClass Hazard { get; init; }

    /// <summary>How it harms when it fails.</summary>
    public required string Why { get; init; }

    /// <summary>What the answer decides.</summary>
    public required string Decides { get; init; }

    /// <summary>Where its date mark is.</summary>
    public required string Where { get; init; }

    public required string MarkNote { get; init; }

    /// <summary>The signs that an inspection looks for.</summary>
    public required IReadOnlyList<string> LookFor { get; init; }

    /// <summary>Where it stands as long as nobody answers.</summary>
    public required DueState State { get; init; }

    public required DueDaysReply? Due { get; init; }

    /// <summary>The last time that it could not be seen.</summary>
    public required WalkNoteReply? CouldNotSee { get; init; }

    /// <summary>Keys; the texts stand below the questions.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }

    public static WalkQuestionReply Of(WalkQuestion q, WalkNotes notes) => new()
    {
        Area = q.Area,
        AreaName = WalkAreas.NameOf(q.Area),
        PartKind = q.Kind.Key,
        PartKindName = q.Kind.Name,
        SubjectId = q.Subject?.Id,
        Position = q.Subject?.Position,
        Purpose = q.Purpose,
        Form = q.Kind.Form,
        Ask = q.Ask,
        Hazard = q.Kind.Hazard.Class,
        Why = q.Kind.Hazard.Why,
        Decides = q.Decides,
        Where = q.Kind.Mark.Where,
        MarkNote = q.Kind.Mark.Note,
        LookFor = q.Kind.Signs,
        State = q.Unanswered.State,
        Due = DueDaysReply.From(q.Unanswered.Due),
        CouldNotSee = notes.NotSeen(q.Kind.Key, q.Subject?.Id) is { } note ? WalkNoteReply.Of(note) : null,
        Cautions = q.Kind.Cautions,
    };
}

internal sealed record WalkNoteReply(string PartKind, DateOnly On, string? By, string? Note)
{
    public static WalkNoteReply Of(WalkNote n) => new(n.PartKind, n.SeenOn, n.NotedBy, n.Note);
}
