namespace AgeWatch.Server.Outbox;

/// <summary>A table of what is to be sent, which a worker empties.</summary>
internal interface IOutbox
{
    /// <summary>For the log.</summary>
    string Name { get; }

    /// <summary>Tries what is due now.</summary>
    /// <returns>How many were tried.</returns>
    Task<int> SendDueAsync(CancellationToken stop);
}
