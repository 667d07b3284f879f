using System.Collections.Concurrent;
using System.Text.RegularExpressions;
using AgeWatch.Server.Tests.Delivery;

namespace AgeWatch.Server.Tests.Chaos;

/// <summary>A message that the mail server took.</summary>
internal sealed class Taken(int line, int connection, ReceivedMail mail)
{
    public int Line => line;

    public int Connection => connection;

    public ReceivedMail Mail => mail;

    public string Recipient => Assert.Single(mail.Recipients);

    public string MessageId { get; } = Regex.Match(
        mail.Text, @"^Message-ID:\s*<([^>]+)>", RegexOptions.IgnoreCase | RegexOptions.Multiline)
        .Groups[1]
        .Value;

    /// <summary>The reply never left.</summary>
    public bool IsReplyDropped { get; init; }

    /// <summary>The sender went on after it, so it had read the reply and had written it down.</summary>
    public bool IsSenderGoingOn { get; set; }
}

/// <summary>The mail server of the month. Each worker process has a line of its own, so that what was said to a process
/// that died is known.</summary>
internal sealed class MoodyMailServer(ChaosPlan plan) : IAsyncDisposable
{
    private const int HangMilliseconds = 1500;

    private readonly ConcurrentQueue<Taken> _taken = new();
    private readonly ConcurrentDictionary<(string Recipient, DateOnly Day), int> _tries = new();
    private readonly ConcurrentDictionary<(int Line, int Connection), Taken> _last = new();
    private readonly ConcurrentDictionary<(int Line, int Connection), MailMood> _moods = new();
    private readonly List<SmtpSink> _lines = [];

    public IReadOnlyList<Taken> Mails => [.. _taken];

    public ConcurrentDictionary<MailMood, int> Moods { get; } = new();

    /// <summary>The night it is; moods are planned by it.</summary>
    public DateOnly Day { get; set; }

    /// <returns>The line's number and its port.</returns>
    public (int Line, int Port) Open()
    {
        var line = _lines.Count;
        SmtpSink sink = new();
        sink.Heard = (connection, _) =>
        {
            if (_last.TryRemove((line, connection), out var before))
            {
                before.IsSenderGoingOn = true;
            }
        };
        sink.AnswerOn = (connection, command) =>
            command.StartsWith("RCPT", StringComparison.OrdinalIgnoreCase)
                ? OnRecipient(line, connection, command)
                : null;
        sink.AnswerToData = mail => OnData(line, mail);
        _lines.Add(sink);
        return (line, sink.Port);
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var line in _lines)
        {
            await line.DisposeAsync();
        }
    }

    private string? OnRecipient(int line, int connection, string command)
    {
        var recipient = command[(
            command.IndexOf('<', StringComparison.Ordinal) + 1)..command.IndexOf('>', StringComparison.Ordinal)];
        var day = Day;
        var mood = plan.MoodFor(recipient, day, _tries.AddOrUpdate((recipient, day), 1, (_, tries) => tries + 1));
        Moods.AddOrUpdate(mood, 1, (_, count) => count + 1);
        _moods[(line, connection)] = mood;
        switch (mood)
        {
            case MailMood.Refuse:
                return "451 4.3.2 come back later";
            case MailMood.Hang:
                Thread.Sleep(HangMilliseconds);
                return "";
            default:
                return null;
        }
    }

    private string OnData(int line, ReceivedMail mail)
    {
        var mood = _moods[(line, mail.Connection)];
        if (mood == MailMood.RefuseData)
        {
            return "452 4.3.1 out of space";
        }

        Taken taken = new(line, mail.Connection, mail)
        {
            IsReplyDropped = mood is MailMood.DropAfterData
            or MailMood.HangAfterData
        };
        _taken.Enqueue(taken);
        _last[(line, mail.Connection)] = taken;
        if (mood == MailMood.HangAfterData)
        {
            Thread.Sleep(HangMilliseconds);
        }

        return taken.IsReplyDropped ? "" : "250 2.0.0 taken";
    }
}
