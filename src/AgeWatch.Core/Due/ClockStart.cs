using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Usage;

namespace AgeWatch.Core.Due;

/// <summary>Where a clock starts: the days, and what odometer and hours meter showed then.</summary>
/// <param name="Days">Null: not known.</param>
/// <param name="Shown">Odometer on the first of the days; null: not known.</param>
/// <param name="Hours">Hours meter likewise, on the day on which it showed them.</param>
/// <param name="Presumed">No fact names the day: it follows from the presumption or from another event.</param>
internal readonly record struct ClockStart(
    AgeAnchor Anchor, DateSpan? Days, ShownDistance? Shown = null, HoursReading? Hours = null, bool Presumed = false);

/// <summary>Finds the start of every clock of a subject.</summary>
/// <remarks>
/// Fitting: the first fitted day, else the first document, else the birth. Fill: the latest fill or service, for a
/// fluid also fitting or document, else the birth. Service: the latest service or fill, else the birth. Regulatory: the
/// first installation test or other legal day, else first registration, else the birth. The vehicle's registration
/// starts no part before the earliest day it can have been made, and says nothing of a part that was on another vehicle
/// before: that one counts from its birth. A service task has one start, the last time it was done; never on record, it
/// is as old as the vehicle.
/// </remarks>
internal sealed class ClockStarts(DueQuestion question, Birth birth, DueTrail trail)
{
    private readonly ClockStart?[] _starts = new ClockStart?[5];

    private DoneEvent? _lastDone;

    /// <summary>The last time a service task was done; null when it is not on record, or the subject is a
    /// component.</summary>
    public DoneEvent? LastDone
    {
        get
        {
            _ = Of(AgeAnchor.Service);
            return _lastDone;
        }
    }

    /// <summary>The time before the last that a task was done, when the last was put off; null: it was not, or nobody
    /// knows.</summary>
    public DoneEvent? PutOff
    {
        get
        {
            if (LastDone is not { } last || question.Subject is not ServiceTaskFacts task)
            {
                return null;
            }

            DoneEvent? before = null;
            foreach (var done in task.Done)
            {
                before = done.On < last.On && !(done.On <= before?.On) ? done : before;
            }

            var isPutOff = last.WasPutOff || question.Kind.Deferral != DeferralRule.Never
                && task.Deferral?.DecidedOn is { } decided && decided <= last.On && !(decided <= before?.On);
            return isPutOff ? before : null;
        }
    }

    public ClockStart Of(AgeAnchor anchor) => _starts[(int)anchor] ??= Find(anchor);

    /// <summary>Where one limit starts: work that repeats starts it anew, and old stock counts from
    /// manufacture.</summary>
    public ClockStart Of(Limit limit, KindRules kind)
    {
        var start = Of(limit.From);
        if (question.Subject is not ComponentFacts component)
        {
            return start;
        }

        if (limit.Repeats
            && Renewed(component, limit.From == AgeAnchor.Regulatory) is { } renewed
            && !(renewed.Days?.First < start.Days?.Last))
        {
            return renewed;
        }

        if (limit.From == AgeAnchor.Fitting && kind is { StorageLimit: { } storage, Clock: AgeAnchor.Fitting }
            && start is { Presumed: false, Days: { } fitted } && StoredTooLong(storage.Value) is { } certain)
        {
            trail.Note(new(DueNoteCode.StoredTooLong, Days: birth.Span));
            return new(AgeAnchor.Manufacture, certain
                ? birth.Span
                : new DateSpan(birth.Span!.Value.First, fitted.Last));
        }

        return start;
    }

    /// <summary>Whether mark or document and the fitted day prove too long a storage: true for certain, false possibly;
    /// null: they do not.</summary>
    public bool? StoredTooLong(int months)
    {
        if (Of(AgeAnchor.Fitting) is not { Presumed: false, Days: { } fitted } || birth.Span is not { } born)
        {
            return null;
        }

        var proven = birth.Basis is EvidenceKind.Mark or EvidenceKind.Plate ? born.First
            : birth.Basis == EvidenceKind.Document ? born.Last
            : DateOnly.MaxValue;
        return proven.PlusMonthsClamped(months) >= fitted.First
            ? null
            : born.Last.PlusMonthsClamped(months) < fitted.First;
    }

    // What is only ever thrown away is not made good by service, and filling a gas tank is no test of it.
    private bool IsRenewal(EvidenceKind kind, bool orTest) =>
        question.Kind.IsRenewable && kind is EvidenceKind.Service or EvidenceKind.Fill
        || orTest && kind == EvidenceKind.Regulatory;

    private ClockStart? Renewed(ComponentFacts component, bool orTest)
    {
        Evidence? last = null;
        foreach (var evidence in component.Evidence)
        {
            if (IsRenewal(evidence.Kind, orTest)
                && evidence.On is { } on
                && !(on <= last?.On)
                && !trail.SetAside(evidence, on))
            {
                last = evidence;
            }
        }

        return last is { On: { } day }
            ? new(orTest ? AgeAnchor.Regulatory : AgeAnchor.Service, DateSpan.Day(day), last.Odometer, last.ShownHours)
            : null;
    }

    private ClockStart Find(AgeAnchor anchor) => question.Subject switch
    {
        ServiceTaskFacts => anchor == AgeAnchor.Regulatory && question.Vehicle.RegisteredOn is { } registered
            ? new(anchor, DateSpan.Day(registered))
            : Done((ServiceTaskFacts)question.Subject),
        ComponentFacts component => anchor switch
        {
            AgeAnchor.Manufacture => new(anchor, birth.Span, Presumed: birth.Basis == EvidenceKind.Presumption),
            AgeAnchor.Fitting => Fitted(component),
            AgeAnchor.Fill => Latest(component, anchor, alsoFitted: true),
            AgeAnchor.Service => Latest(component, anchor, alsoFitted: false),
            AgeAnchor.Regulatory => Regulatory(component),
            _ =>
                throw new ArgumentOutOfRangeException(
                    nameof(anchor), anchor, "A limit counts from an event of the part."),
        },
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    private ClockStart Done(ServiceTaskFacts task)
    {
        DoneEvent? last = null;
        foreach (var done in task.Done)
        {
            // On a past day what was done later had not been done.
            if (!(done.On <= last?.On) && !(done.On > question.AsOf) && !trail.SetAside(done.On))
            {
                last = done;
            }
        }

        _lastDone = last;
        return last is null
            ? new(AgeAnchor.Service, question.Vehicle.Built, Presumed: true)
            : new(AgeAnchor.Service, DateSpan.Day(last.On), last.Odometer, last.ShownHours);
    }

    private ClockStart Fitted(ComponentFacts component)
    {
        Evidence? first = null;
        Evidence? paper = null;
        foreach (var evidence in component.Evidence)
        {
            if (evidence.On is not { } on || trail.SetAside(evidence, on))
            {
                continue;
            }

            if (evidence.Kind == EvidenceKind.Fitted && !(on >= first?.On))
            {
                first = evidence;
            }
            else if (evidence.Kind == EvidenceKind.Document && !(on >= paper?.On))
            {
                paper = evidence;
            }
        }

        var known = first ?? paper;
        foreach (var stay in component.Stays)
        {
            if (stay.Until is not null)
            {
                return AfterEarlier(component, known);
            }
        }

        return known is { On: { } day }
            ? new(AgeAnchor.Fitting, DateSpan.Day(day), known.Odometer, known.ShownHours)
            : new(AgeAnchor.Fitting, component.Original
                ? question.Vehicle.Built ?? birth.Span
                : birth.Span, Presumed: true);
    }

    /// <summary>The age from fitting runs since the first fitting of all; the odometer is that of the present
    /// one.</summary>
    private ClockStart AfterEarlier(ComponentFacts component, Evidence? known)
    {
        var first = known?.On;
        var unknown = false;
        foreach (var stay in component.Stays)
        {
            unknown |= stay.From is null;
            if ((stay.From ?? stay.Until) is { } on && !(on >= first))
            {
                first = on;
            }
        }

        if (first is not { } day)
        {
            return new(AgeAnchor.Fitting, birth.Span, Presumed: true);
        }

        var earliest = unknown && birth.Span is { } born && born.First < day ? born.First : day;
        return new(AgeAnchor.Fitting, new DateSpan(earliest, day), known?.Odometer, known?.ShownHours, unknown);
    }

    private ClockStart Latest(ComponentFacts component, AgeAnchor anchor, bool alsoFitted)
    {
        Evidence? last = null;
        foreach (var evidence in component.Evidence)
        {
            var counts = evidence.Kind is EvidenceKind.Fill or EvidenceKind.Service
                || (alsoFitted && evidence.Kind is EvidenceKind.Fitted or EvidenceKind.Document);
            if (counts && evidence.On is { } on && !(on <= last?.On) && !trail.SetAside(evidence, on))
            {
                last = evidence;
            }
        }

        return last is { On: { } day }
            ? new(anchor, DateSpan.Day(day), last.Odometer, last.ShownHours)
            : new(anchor, birth.Span, Presumed: true);
    }

    private ClockStart Regulatory(ComponentFacts component)
    {
        Evidence? first = null;
        foreach (var evidence in component.Evidence)
        {
            if (evidence.Kind == EvidenceKind.Regulatory
                && evidence.On is { } on
                && !(on >= first?.On)
                && !trail.SetAside(evidence, on))
            {
                first = evidence;
            }
        }

        return first is { On: { } day } ? new(AgeAnchor.Regulatory, DateSpan.Day(day), first.Odometer, first.ShownHours)
            : question.Vehicle.RegisteredOn is { } registered ? Registered(component, registered)
            : new(AgeAnchor.Regulatory, birth.Span, Presumed: true);
    }

    /// <summary>A legal clock without a day of its own: the vehicle's registration, as far as that can be the
    /// part's.</summary>
    private ClockStart Registered(ComponentFacts component, DateOnly registered)
    {
        var cameFromElsewhere = false;
        foreach (var stay in component.Stays)
        {
            cameFromElsewhere |= stay.Until is not null && !stay.OnThisVehicle;
        }

        var start = cameFromElsewhere ? birth.Span : SinceRegistered(component, registered);
        if (start?.First != registered)
        {
            trail.Note(new(DueNoteCode.LegalDayNotKnown, Days: start));
        }

        return new(AgeAnchor.Regulatory, start, Presumed: start != DateSpan.Day(registered));
    }

    private DateSpan SinceRegistered(ComponentFacts component, DateOnly registered)
    {
        if (component.Original || birth is not { Span: { } born, Basis: not EvidenceKind.Presumption })
        {
            return DateSpan.Day(registered);
        }

        var fitted = Of(AgeAnchor.Fitting) is { Presumed: false, Days: { } known } ? known : born;
        var since = DateSpan.Day(registered).LaterOf(born);
        return new(since.First, since.LaterOf(fitted).Last);
    }
}
