using AgeWatch.Core.Usage;
using AgeWatch.Server.Answers;
using AgeWatch.Server.Recording;
using AgeWatch.Storage;

namespace AgeWatch.Server.Resources.Vehicles;

/// <summary>What does not fit about a reading that has just been written down.</summary>
internal static class ReadingDoubts
{
    public static async Task<OdometerReadingReply> AddAsync(
        OdometerReadingReply reply, AgeWatchContext db, FactWriter writer, Guid clubId, Guid vehicleId,
        CancellationToken stop)
    {
        if (await StoredVehicle.LoadAsync(db, clubId, [vehicleId], stop) is not [var stored])
        {
            return reply;
        }

        ShownDistance shown = new(reply.On, reply.Value, reply.Unit, reply.InstrumentId.ToString());
        var distance = DueQuestions.UsageModelOf(stored, await writer.TodayAsync(clubId, stop)).Distance;
        string[] warnings = [.. distance.DoubtsAbout(shown, stored.Vehicle!.DistanceUnit)];
        return warnings.Length == 0 ? reply : reply with
        {
            Warnings = warnings,
            Questions = [UsageSentences.IsItRight(shown)],
        };
    }
}
