namespace AgeWatch.Core.Marks;

/// <summary>What a person needs to know about a way of writing dates on parts.</summary>
public sealed record MarkDescription
{
    public required string Key { get; init; }

    public required string Name { get; init; }

    public required string LooksLike { get; init; }

    public required string FoundOn { get; init; }

    public required string ReadsAs { get; init; }

    internal IReadOnlyList<MarkPart> Parts { get; init; } = [];

    public required string MistakenFor { get; init; }

    /// <summary>First and last day of use; a reading wholly outside is dropped. 2099-12-31 stands for "still in
    /// use".</summary>
    public required DateSpan Years { get; init; }

    public MarkKind Kind { get; init; } = MarkKind.Manufacture;

    /// <summary>No text with a letter has this form, so it need not be tried on one.</summary>
    internal bool FiguresOnly { get; init; }

    /// <summary>The letters that can stand alone, as a word of one letter, in a text of this form; null: any.</summary>
    internal string? LoneLetters { get; init; }

    public required Tag Tag { get; init; }

    public required string Source { get; init; }

    /// <summary>Examples with every span they mean when seen on 2026-06-30 with nothing else known.</summary>
    public required IReadOnlyList<MarkExample> Examples { get; init; }
}

/// <summary>A mark and all that it can mean.</summary>
public sealed record MarkExample(string Text, params IReadOnlyList<DateSpan> Means);

/// <summary>A stretch of a mark and what it stands for; null: it only parts the others.</summary>
public readonly record struct MarkPart(string Text, string? Means = null);

/// <summary>One way of writing a date on a part.</summary>
public abstract class MarkConvention
{
    private readonly IReadOnlyList<MarkConvention> alone;

    private protected MarkConvention(MarkDescription about)
    {
        About = about;
        FiguresOnly = about.FiguresOnly;
        LoneLetters = about.LoneLetters is { } letters
            ? letters.Aggregate(0u, (set, letter) => set | MarkText.LetterBit(letter))
            : uint.MaxValue;
        alone = [this];
    }

    public MarkDescription About { get; }

    internal bool FiguresOnly { get; }

    /// <summary>As <see cref="MarkText.LoneLetters"/>.</summary>
    internal uint LoneLetters { get; }

    public string Key => About.Key;

    public DateSpan Years => About.Years;

    public MarkKind Kind => About.Kind;

    /// <summary>The first example taken apart; end to end the texts are that example.</summary>
    public virtual IReadOnlyList<MarkPart> Parts => About.Parts;

    /// <summary>Anybody may write so on anything: plain texts of this form are read on every kind of part.</summary>
    public bool IsReadAnywhere => PlainText.Conventions.Contains(Key);

    public Tag Tag => About.Tag;

    public string Source => About.Source;

    /// <summary>This convention as a list, shared so that a reading costs no list of its own.</summary>
    internal IReadOnlyList<MarkConvention> Alone => alone;

    /// <summary>Months by which marks of this kind are known to be off, either way; the due answer counts them in,
    /// readings do not.</summary>
    internal virtual int MarginMonths => 0;

    /// <summary>False: a role given with the mark decides between manufacture and expiry.</summary>
    internal virtual bool KindIsFixed => false;

    internal virtual MarkOrder Order => MarkOrder.None;

    /// <summary>Whether the text is one that this convention reads on any part: see <see cref="PlainText"/>.</summary>
    internal virtual bool IsPlain(in MarkText text) => false;

    /// <summary>Hands every meaning of the text to <paramref name="collector"/>; says nothing when the form does not
    /// fit.</summary>
    internal abstract void Read(in MarkText text, ReadingCollector collector);

    /// <summary>
    /// The mark that this convention would carry for a reading of its own; with the same facts it reads back to the
    /// same days. Null when the convention cannot write it.
    /// </summary>
    public abstract string? Render(MarkReading reading);

    public override string ToString() => Key;
}
