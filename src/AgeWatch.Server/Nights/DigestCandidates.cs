using AgeWatch.Core;
using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;
using AgeWatch.Core.Telling;
using AgeWatch.Storage.Clubs;
using AgeWatch.Storage.Digests;

namespace AgeWatch.Server.Nights;

/// <summary>What one digest may have to say by the stored states, before any vehicle is looked into.</summary>
/// <param name="Told">What the person was last shown of each subject.</param>
/// <param name="Deferred">Vehicles with a deferral that runs; null among them: the shelf.</param>
/// <param name="First">Vehicles that come up by the stored states.</param>
internal sealed record DigestCandidates(
    Member Member, DigestKind Kind, DateOnly Day, int Cap, Dictionary<Guid, PreviousTelling> Told, Dictionary<Guid,
    DigestCandidate> Places,
    HashSet<Guid?> Deferred, HashSet<Guid?> First);

/// <summary>Where a subject stands by its stored state.</summary>
internal sealed record DigestCandidate(
    Guid SubjectId, Guid? VehicleId, string PartKind, DueState State, Certainty Certainty, Force? Force,
    HazardClass Hazard, DateOnly? DueEarliest)
{
    public DigestSubject Subject => new(SubjectId, State, Certainty, Hazard, DueEarliest) { Force = Force };

    /// <summary>A kind that a newer catalogue no longer has is spoken of by its key and as the worst.</summary>
    public static PartKind KindOf(string key) => PartCatalogue.BuiltIn.Find(key) ?? PartCatalogue.BuiltIn.All[0] with
    {
        Key = key,
        Name = key,
        Form = PartForm.Component,
        Task = TaskType.Discard,
        Hazard = new()
        {
            Class = HazardClass.Catastrophic,
            Why = "Its kind is not known.",
            Evident = false,
            Warning = WarningTime.None
        },
        Cautions = [],
    };
}
