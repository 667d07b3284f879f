using AgeWatch.Core.Catalogue;
using AgeWatch.Core.Due;

namespace AgeWatch.Core.WalkRounds;

/// <summary>The one place where a question of the walk-round becomes words.</summary>
internal static class WalkSentences
{
    public static string Ask(WalkQuestion question) => (question.Purpose, question.Kind.Form) switch
    {
        (WalkPurpose.Find, PartForm.ServiceTask) =>
            $"When was this last done: {Name(question)}? Look in the papers and on stickers.",
        (WalkPurpose.Find, PartForm.Component) =>
            $"Is it there: {Name(question)}? If so, read its date mark as it is written, or say that there is none.",
        (WalkPurpose.Others, _) =>
            $"Are there others: {Name(question)}? Recorded "
                + $"{(question.Beside.Count == 1 ? "is one" : $"are {question.Beside.Count}")}{Places(question)}; "
            + (question.Usual is { } most
                ? $"usual are up to {most} ({Words.Of(Tag.Practice)}). "
                : $"there are several as a rule ({Words.Of(Tag.Practice)}). ")
            + "Read the date mark of each of the others as it is written, or say that there are no others.",
        (WalkPurpose.ReadMark, _) => $"Read the date mark on the {Name(question)} as it is written.",
        (WalkPurpose.ChooseReading, _) =>
            $"Look at the mark on the {Name(question)} again. {Sentence(question, DueAskCode.WhichReading)}",
        (WalkPurpose.TellDay, _) =>
            $"{Name(question)}: {Lower(Sentence(question, DueAskCode.WhenStarted))} Look in the papers and on "
                + $"stickers.",
        (WalkPurpose.Inspect, _) => $"Look at the {Name(question)} for what is listed here.",
        _ => throw new System.Diagnostics.UnreachableException(),
    };

    public static string Decides(WalkQuestion question)
    {
        var answer = question.Unanswered;
        var state = Words.ItIs(answer.State);
        var since = answer is { State: not DueState.Unknown, Due: { } due }
            ? due.First <= answer.AsOf
                ? $", since {due.First:yyyy-MM-dd}"
                : $", until {answer.NextChangeOn ?? due.First:yyyy-MM-dd}"
            : "";
        return question.Purpose switch
        {
            WalkPurpose.Find or WalkPurpose.Others when answer.Born.Span is null =>
                "As long as nobody looks its age is unknown, and unknown is never good.",
            WalkPurpose.Find =>
                $"If it is there, it is taken to be as old as the vehicle until proved otherwise: {state}{since}.",
            WalkPurpose.Others =>
                $"If there are others, each is taken to be as old as the vehicle until proved otherwise: "
                    + $"{state}{since}.",
            WalkPurpose.Inspect => $"As long as nobody looks it is {state}{since}.",
            _ => $"As long as nobody answers it is {state}{since}; the answer decides.",
        };
    }

    private static string Sentence(WalkQuestion question, DueAskCode code) =>
        DueSentences.Sentence(question.Unanswered.Asks.First(ask => ask.Code == code));

    private static string Name(WalkQuestion question) =>
        question.Subject?.Position is { } position ? $"{question.Kind.Name}, {position}" : question.Kind.Name;

    private static string Places(WalkQuestion question) =>
        string.Join(", ", question.Beside.Select(subject => subject.Position)
            .OfType<string>()) is { Length: > 0 } places
            ? $" ({places})"
            : "";

    private static string Lower(string sentence) => char.ToLowerInvariant(sentence[0]) + sentence[1..];
}
