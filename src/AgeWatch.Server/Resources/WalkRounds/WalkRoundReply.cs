using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.WalkRounds;
using AgeWatch.Server.Answers;
using AgeWatch.Storage.Vehicles;
using AgeWatch.Storage.WalkRounds;

namespace AgeWatch.Server.Resources.WalkRounds;

/// <summary>The questions to take to a car, in the order of a walk round it.</summary>
/// <param name="AboutVehicle">What to find out about the vehicle as a whole first.</param>
/// <param name="Absent">Looked for and not on the vehicle: not asked again.</param>
/// <param name="Complete">Kinds of which what is recorded is all there is, by somebody's word: the others are not asked
/// about.</param>
/// <param name="Cautions">In full, of everything asked about.</param>
internal sealed record WalkRoundReply(
    Guid VehicleId,
    string Vehicle,
    DateOnly AsOf,
    IReadOnlyList<string> AboutVehicle,
    IReadOnlyList<WalkQuestionReply> Questions,
    IReadOnlyList<WalkNoteReply> Absent,
    IReadOnlyList<WalkNoteReply> Complete,
    IReadOnlyList<Caution> Cautions,
    string Caution,
    string RuleVersion)
{
    private const string Words =
        "Look, do not take apart. Reach into nothing that is hot, sprung, under pressure or held by a jack alone, "
            + "and leave air bags and gas to trained people. "
        + "The vehicle maker's instructions, local law and licensed practice come first; what cannot be seen safely "
        + "is answered with could-not-see.";

    public static WalkRoundReply Of(
        Garage garage, IReadOnlyList<Asked> asked, WalkNotes notes, DateOnly today, int most)
    {
        var vehicle = garage.Vehicle!;
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
            Vehicle = Facts.VehicleOf(garage),
            Recorded = [.. asked.Select(a =>
                new WalkSubject(a.SubjectId, a.PartKind, a.Position, DueAssessment.Assess(a.Question)))],
            Absent = notes.Absent,
            Complete = notes.Complete,
            Most = most,
        });
        var cautions = questions.SelectMany(q => q.Kind.Cautions).ToHashSet();
        return new(
            vehicle.Id, vehicle.Name, today, [.. AboutTheVehicle(garage, today)],
            [.. questions.Select(q => WalkQuestionReply.Of(q, notes))],
            [.. notes.AbsentNotes.Select(WalkNoteReply.Of)],
            [.. notes.CompleteNotes.Select(WalkNoteReply.Of)],
            [.. PartCatalogue.BuiltIn.Cautions.Where(c => cautions.Contains(c.Key))],
            Words, PartCatalogue.BuiltIn.Version);
    }

    private static IEnumerable<string> AboutTheVehicle(Garage garage, DateOnly today)
    {
        var vehicle = garage.Vehicle!;
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
            && !garage.Readings.Any(r => r.ReadOn.PlusMonthsClamped(6) > today))
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
/// <param name="SubjectId">The recorded part or task to answer for; null: answer with partKind.</param>
/// <param name="Ask">What to do at the car.</param>
/// <param name="Why">How it harms when it fails.</param>
/// <param name="Decides">What the answer decides.</param>
/// <param name="Where">Where its date mark is.</param>
/// <param name="LookFor">The signs that an inspection looks for.</param>
/// <param name="State">Where it stands as long as nobody answers.</param>
/// <param name="CouldNotSee">The last time that it could not be seen.</param>
/// <param name="Cautions">Keys; the texts stand below the questions.</param>
internal sealed record WalkQuestionReply(
    string Area,
    string AreaName,
    string PartKind,
    string PartKindName,
    Guid? SubjectId,
    string? Position,
    WalkPurpose Purpose,
    PartForm Form,
    string Ask,
    HazardClass Hazard,
    string Why,
    string Decides,
    string Where,
    string MarkNote,
    IReadOnlyList<string> LookFor,
    DueState State,
    DueDaysReply? Due,
    WalkNoteReply? CouldNotSee,
    IReadOnlyList<string> Cautions)
{
    public static WalkQuestionReply Of(WalkQuestion q, WalkNotes notes) => new(
        q.Area, WalkAreas.NameOf(q.Area), q.Kind.Key, q.Kind.Name, q.Subject?.Id, q.Subject?.Position, q.Purpose,
        q.Kind.Form, q.Ask,
        q.Kind.Hazard.Class, q.Kind.Hazard.Why, q.Decides, q.Kind.Mark.Where, q.Kind.Mark.Note, q.Kind.Signs,
        q.Unanswered.State, DueDaysReply.From(q.Unanswered.Due),
        notes.NotSeen(q.Kind.Key, q.Subject?.Id) is { } note ? WalkNoteReply.Of(note) : null,
        q.Kind.Cautions);
}

internal sealed record WalkNoteReply(string PartKind, DateOnly On, string? By, string? Note)
{
    public static WalkNoteReply Of(WalkNote n) => new(n.PartKind, n.SeenOn, n.NotedBy, n.Note);
}
