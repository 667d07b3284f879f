using AgeWatch.Storage.Due;
using AgeWatch.Storage.Services;

namespace AgeWatch.Server.Answers;

internal sealed class StoredTask(ServiceTask row)
{
    private RowList<ServiceRecord> _records;
    private RowList<InspectionFinding> _findings;
    private RowList<GrantedDeferral> _deferrals;
    private RowList<OwnLimit> _limits;

    public ServiceTask Row => row;

    public IReadOnlyList<ServiceRecord> Records => _records.Rows;

    public IReadOnlyList<InspectionFinding> Findings => _findings.Rows;

    public IReadOnlyList<GrantedDeferral> Deferrals => _deferrals.Rows;

    public IReadOnlyList<OwnLimit> Limits => _limits.Rows;

    public void Add(ServiceRecord one) => _records.Add(one);

    public void Add(InspectionFinding one) => _findings.Add(one);

    public void Add(GrantedDeferral one) => _deferrals.Add(one);

    public void Add(OwnLimit one) => _limits.Add(one);

    public void Arrange()
    {
        _records.Sort((a, b) => (a.DoneOn, a.Id).CompareTo((b.DoneOn, b.Id)));
        _findings.Sort((a, b) => a.Id.CompareTo(b.Id));
        _deferrals.Sort((a, b) => a.Id.CompareTo(b.Id));
        _limits.Sort((a, b) => a.Id.CompareTo(b.Id));
    }
}
