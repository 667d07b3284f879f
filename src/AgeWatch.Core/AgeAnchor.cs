namespace AgeWatch.Core;

/// <summary>The event from which a limit counts.</summary>
public enum AgeAnchor
{
    /// <summary>The day the part was made; time on a shelf counts.</summary>
    Manufacture,

    /// <summary>The day the part was first fitted.</summary>
    Fitting,

    /// <summary>The day a fluid was filled.</summary>
    Fill,

    /// <summary>The day the task was last done.</summary>
    Service,

    /// <summary>A day named by law: first registration, or an installation test.</summary>
    Regulatory,

    /// <summary>The last inspection. Only answers use it.</summary>
    Inspection,

    /// <summary>No event: the last permitted day is printed on the part. Only answers use it.</summary>
    Printed,

    /// <summary>The day of a finding that makes the part due. Only answers use it.</summary>
    Finding,
}
