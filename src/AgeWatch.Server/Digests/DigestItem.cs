using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;

namespace AgeWatch.Server.Digests;

/// <summary>One component or service task with its answer for tonight, as a digest speaks of it.</summary>
/// <param name="Vehicle">Name of the vehicle; null: on the shelf.</param>
/// <param name="Owner">Whose it is; said in an officer's digest only.</param>
internal sealed record DigestItem(
    Guid SubjectId,
    PartKind Kind,
    DueAnswer Answer,
    string? Vehicle,
    Guid? VehicleId,
    string? Position = null,
    string? Owner = null)
{
    /// <summary>What choosing needs to know.</summary>
    public DigestSubject Subject => new(
        SubjectId,
        Answer.State,
        Answer.Certainty,
        Answer.Hazard,
        Answer.Due?.First,
        Answer.DeferralStanding == DeferralStanding.Running ? Answer.DeferredUntil : null,
        Answer.DeferralStanding == DeferralStanding.Ended ? Answer.DeferredUntil : null)
    {
        Force = Answer.Force,
    };
}
