using AgeWatch.Core.Catalogue;

namespace AgeWatch.Core.Due;

/// <summary>What an answer rests on, as data.</summary>
/// <param name="Born">The span, its evidence and the readings of the mark.</param>
/// <param name="IsTask">Then the span is that of the last time it was done.</param>
/// <param name="Shelf">The allowance that stretches a span known from a document or a fitting alone.</param>
public sealed record DueBasis(Birth Born, bool IsTask, TaggedNumber Shelf)
{
    /// <summary>It in one sentence.</summary>
    public string Sentence => DueSentences.Sentence(this);
}
