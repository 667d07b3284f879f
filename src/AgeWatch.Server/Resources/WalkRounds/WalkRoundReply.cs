using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.WalkRounds;
using AgeWatch.Server.Answers;
using AgeWatch.Storage.Vehicles;

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
