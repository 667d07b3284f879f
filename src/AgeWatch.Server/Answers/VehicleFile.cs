using AgeWatch.Core.Marks;
using AgeWatch.Server.Kernel.Time;
using AgeWatch.Storage;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.WalkRounds;

namespace AgeWatch.Server.Answers;

/// <summary>One vehicle and what else an answer about it needs, from one trip to the database.</summary>
/// <param name="Today">In the club's zone.</param>
internal sealed record VehicleFile(
    StoredVehicle Stored, DateOnly Today, IReadOnlyList<MarkConvention> Conventions, WalkNotes Notes)
{
    /// <summary>Null: the club has no such vehicle.</summary>
    /// <param name="asOf">The day that is to be asked about; null: today. On a past day the parts that were there
    /// then count.</param>
    public static async Task<VehicleFile?> ToAsync(
        AgeWatchContext db, TimeProvider clock, Guid clubId, Guid vehicleId, CancellationToken stop,
        DateOnly? asOf = null)
    {
        List<Club> clubs = [];
        List<Storage.Marks.ClubConvention> conventions = [];
        List<WalkNote> notes = [];
        var storedVehicles = await StoredVehicle.LoadAsync(db, clubId, [vehicleId], stop, read =>
        {
            clubs = read.Rows<Club>();
            conventions = OwnConventions.Read(read);
            notes = read.Rows<WalkNote>($"vehicle_id {read.In("vehicles")}");
        }, asOf < DateOnly.FromDateTime(clock.GetUtcNow().UtcDateTime) ? asOf : null);
        return storedVehicles is [var stored]
            ? new(stored, clock.Today(clubs[0].TimeZone), OwnConventions.Restore(conventions), new(notes))
            : null;
    }

    public IReadOnlyList<SubjectQuestion> QuestionsOn(DateOnly asOf, int warningDays = 60) =>
        DueQuestions.For(Stored, asOf, Today, Conventions, warningDays);
}
