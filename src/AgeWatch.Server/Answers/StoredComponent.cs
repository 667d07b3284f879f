using AgeWatch.Storage.Components;
using AgeWatch.Storage.Due;

namespace AgeWatch.Server.Answers;

internal sealed class StoredComponent(ComponentSlice row)
{
    private RowList<EvidenceSlice> _evidence;
    private RowList<Fitting> _fittings;
    private RowList<InspectionFinding> _findings;
    private RowList<GrantedDeferral> _deferrals;
    private RowList<OwnLimit> _limits;

    public ComponentSlice Row => row;

    public IReadOnlyList<EvidenceSlice> Evidence => _evidence.Rows;

    public IReadOnlyList<Fitting> Fittings => _fittings.Rows;

    public IReadOnlyList<InspectionFinding> Findings => _findings.Rows;

    public IReadOnlyList<GrantedDeferral> Deferrals => _deferrals.Rows;

    public IReadOnlyList<OwnLimit> Limits => _limits.Rows;

    /// <summary>Each other vehicle that parts of this one have been on, with what tells how far it went and how warm
    /// it was kept.</summary>
    public IReadOnlyDictionary<Guid, StoredVehicle>? Elsewhere { get; set; }

    public void Add(EvidenceSlice one) => _evidence.Add(one);

    public void Add(Fitting one) => _fittings.Add(one);

    public void Add(InspectionFinding one) => _findings.Add(one);

    public void Add(GrantedDeferral one) => _deferrals.Add(one);

    public void Add(OwnLimit one) => _limits.Add(one);

    public void Arrange()
    {
        _evidence.Sort((a, b) => a.Id.CompareTo(b.Id));
        _fittings.Sort((a, b) => (a.FittedOn, a.Id).CompareTo((b.FittedOn, b.Id)));
        _findings.Sort((a, b) => a.Id.CompareTo(b.Id));
        _deferrals.Sort((a, b) => a.Id.CompareTo(b.Id));
        _limits.Sort((a, b) => a.Id.CompareTo(b.Id));
    }
}
