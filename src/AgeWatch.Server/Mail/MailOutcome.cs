namespace AgeWatch.Server.Mail;

/// <summary>What became of one try to hand a message over.</summary>
internal abstract record MailOutcome
{
    private MailOutcome(string words) => Words = words;

    /// <summary>The server's own words, made safe to keep; they can hold the address, so they are never
    /// logged.</summary>
    public string Words { get; }

    /// <summary>The server has taken responsibility.</summary>
    public sealed record Accepted(string Reply) : MailOutcome(Reply);

    /// <summary>Nothing final was said about this message: the same bytes are to be sent again later.</summary>
    public sealed record Retry(string Reply) : MailOutcome(Reply);

    /// <summary>No mail at all can be handed over now: no connection, no sign-in, or our sender is refused.</summary>
    public sealed record NoServer(string Reply) : MailOutcome(Reply);

    /// <summary>The server will never take this message.</summary>
    /// <param name="Fault">Whose fault it is, as far as the reply tells.</param>
    public sealed record Refused(string Reply, RefusedFor Fault) : MailOutcome(Reply);
}

internal enum RefusedFor
{
    /// <summary>The mailbox or its domain does not exist: one such reply is enough.</summary>
    NoSuchAddress,

    /// <summary>The recipient was refused for another reason: policy, full, disabled.</summary>
    Recipient,

    /// <summary>The message itself was refused.</summary>
    Message,
}
