namespace AgeWatch.Server.Outbox;

/// <summary>How the outbox works. Fixed by design; a test may hurry it.</summary>
internal sealed record OutboxOptions
{
    /// <summary>Connections side by side.</summary>
    public int Lanes { get; init; } = 4;

    /// <summary>Rows claimed at once.</summary>
    public int Batch { get; init; } = 20;

    /// <summary>How long a claim holds without being renewed. A killed worker's rows wait this long.</summary>
    public TimeSpan Lease { get; init; } = TimeSpan.FromMinutes(2);

    public TimeSpan Renewal => Lease / 4;

    public TimeSpan Poll { get; init; } = TimeSpan.FromSeconds(5);

    /// <summary>How long a message that is being sent may go on when the server is told to stop.</summary>
    public TimeSpan Grace { get; init; } = TimeSpan.FromSeconds(20);

    /// <summary>How long the result of a message that was sent is held on to when the database does not
    /// answer.</summary>
    public TimeSpan HoldResult { get; init; } = TimeSpan.FromMinutes(5);
}
