namespace AgeWatch.Core.Due;

/// <summary>Collects what was noticed and what should be asked while an answer is worked out.</summary>
internal sealed class DueTrail(DateOnly? knownOn)
{
    private List<DueNote>? _notes;
    private List<DueAsk>? _asks;

    public IReadOnlyList<DueNote> Notes => _notes ?? (IReadOnlyList<DueNote>)[];

    public IReadOnlyList<DueAsk> Asks => _asks ?? (IReadOnlyList<DueAsk>)[];

    public void Note(DueNote note)
    {
        _notes ??= [];
        if (!_notes.Contains(note))
        {
            _notes.Add(note);
        }
    }

    public void Ask(
        DueAskCode code, string? detail = null, DateSpan? days = null,
        IReadOnlyList<EvidenceReading>? readings = null) =>
        Ask(new(code, detail, days, readings));

    public void Ask(DueAsk asked)
    {
        _asks ??= [];
        foreach (var ask in _asks)
        {
            if (ask.Code == asked.Code && ask.Detail == asked.Detail && ask.Days == asked.Days)
            {
                return;
            }
        }

        _asks.Add(asked);
    }

    /// <summary>Whether a fact is dated after the day on which the facts are stated.</summary>
    public bool SetAside(Evidence evidence, DateOnly on) => SetAside(on, evidence);

    public bool SetAside(DateOnly on, Evidence? evidence = null, Finding? finding = null)
    {
        if (!(on > knownOn))
        {
            return false;
        }

        Note(new(DueNoteCode.FactSetAside, evidence, DateSpan.Day(on), Finding: finding));
        return true;
    }
}
