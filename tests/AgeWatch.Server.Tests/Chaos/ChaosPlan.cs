using System.Text;

namespace AgeWatch.Server.Tests.Chaos;

/// <summary>What the mail server does with one try to hand a message over.</summary>
internal enum MailMood
{
    Take,

    /// <summary>Not now, before the message is sent.</summary>
    Refuse,

    /// <summary>Not now, after the whole message was sent.</summary>
    RefuseData,

    /// <summary>Says nothing for a while and cuts the line before the message is sent.</summary>
    Hang,

    /// <summary>Takes the message and cuts the line instead of saying so.</summary>
    DropAfterData,

    /// <summary>Takes the message, says nothing for a while and cuts the line.</summary>
    HangAfterData,
}

/// <summary>Everything that is going to happen, from one number: which worker is killed when, and how the mail server
/// feels.</summary>
internal sealed class ChaosPlan
{
    public const int Nights = 30;

    // From this try on it takes everything, as a server does that has come back.
    private const int Patience = 4;

    private readonly int _seed;

    public ChaosPlan(int seed)
    {
        _seed = seed;
        Random random = new(seed);
        Kills = [.. Enumerable.Range(0, Nights).Select(night => Enumerable.Range(0, night % 5 == 4 ? 2 : 1)
            .Select(_ => new Kill(random.Next(2), random.Next(50, 1500)))
                .OrderBy(kill => kill.AfterMilliseconds)
                .ToList())];
        Crashes = [(random.Next(5, 13), random.Next(100, 1200)), (random.Next(16, 27), random.Next(100, 1200))];
    }

    /// <summary>By night.</summary>
    public IReadOnlyList<IReadOnlyList<Kill>> Kills { get; }

    /// <summary>The night and when in it the database crashes.</summary>
    public IReadOnlyList<(int Night, int AfterMilliseconds)> Crashes { get; }

    /// <param name="attempt">From 1.</param>
    public MailMood MoodFor(string recipient, DateOnly day, int attempt)
    {
        if (attempt >= Patience)
        {
            return MailMood.Take;
        }

        var chance = new Random(
            HashCode(FormattableString.Invariant($"{_seed} {recipient} {day:O} {attempt}"))).Next(100);
        return chance switch
        {
            < 5 => MailMood.Refuse,
            < 9 => MailMood.RefuseData,
            < 12 => MailMood.Hang,
            < 24 => MailMood.DropAfterData,
            < 27 => MailMood.HangAfterData,
            _ => MailMood.Take,
        };
    }

    public override string ToString()
    {
        StringBuilder text = new($"CHAOS_SEED={_seed}\n");
        for (var night = 0; night < Nights; night++)
        {
            text.Append($"night {night}: ")
                .AppendJoin(", ", Kills[night].Select(kill => $"kill {kill.Worker} after {kill.AfterMilliseconds} ms"));
            text.AppendJoin("", Crashes.Where(crash => crash.Night == night)
                .Select(crash => $", database crash after {crash.AfterMilliseconds} ms")).Append('\n');
        }

        return text.ToString();
    }

    // The same in every process, which string.GetHashCode is not.
    private static int HashCode(string text) =>
        BitConverter.ToInt32(System.Security.Cryptography.SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    internal sealed record Kill(int Worker, int AfterMilliseconds);
}
