namespace AgeWatch.Core.Marks.Conventions;

/// <summary>Moulded date insert: a pointer to the month around the year, or one dot for each month. Typed as
/// YY=94;pointer=7.</summary>
/// <remarks>
/// Common practice, no standard found. Inserts are turned late, so the month is give or take one. That a dot is a
/// month, the current one included, is our choice; makers differ.
/// </remarks>
internal sealed class MouldClock() : MarkConvention(new()
{
    Key = "mould-clock",
    Name = "Moulded clock",
    LooksLike = "A small circle with the year in the middle and an arrow to one of twelve numbers, or rows of dots.",
    FoundOn = "Moulded rubber and plastic: boots, bushes, mounts, tanks, caps, child seats.",
    ReadsAs = "The arrow's number is the month; of dots each is one month. Type YY=94;pointer=7 or YY=88;dots=5.",
    Parts = [new("YY=94", "year in the middle"), new(";"), new("pointer=7", "month the arrow points to")],
    MistakenFor = "A day; a clock left at last year's setting.",
    Years = Eras.From(1950),
    Tag = Tag.Practice,
    Source = "common practice, no standard found",
    Examples = [new("YY=94;pointer=7", DateSpan.Month(1994, 7)), new("YY=88;dots=5", DateSpan.Month(1988, 5))],
})
{
    internal override int MarginMonths => 1;

    private enum Hand
    {
        None,
        Year,
        Pointer,
        Dots,
    }

    internal override void Read(in MarkText text, ReadingCollector collector)
    {
        Piece year = default;
        int month = -1, words = 0;
        Hand hand = Hand.None, shown = Hand.None;
        foreach (var piece in text.Pieces)
        {
            if (piece.Kind == PieceKind.Separator)
            {
                continue;
            }

            if (piece.Kind == PieceKind.Word)
            {
                hand = HandOf(text.Slice(piece));
                words++;
                if (hand == Hand.None)
                {
                    return;
                }
            }
            else if (piece.IsYear && year == default && hand is Hand.None or Hand.Year)
            {
                year = piece;
                hand = Hand.None;
            }
            else if ((piece.IsShort || piece.Kind == PieceKind.Month) && month < 0 && hand != Hand.Year)
            {
                month = piece.Value;
                shown = hand;
                hand = Hand.None;
            }
            else
            {
                return;
            }
        }

        if (year == default || hand != Hand.None || (words == 0 && !collector.Named))
        {
            return;
        }

        if (month < 0)
        {
            collector.Year(year.Value, year.Length);
        }
        else if (words > 0)
        {
            collector.Month(year.Value, year.Length, month, MarkAssumption.ClockMargin
                | (shown == Hand.Dots ? MarkAssumption.DotsAreMonths : MarkAssumption.None));
        }
    }

    private static Hand HandOf(ReadOnlySpan<char> word) => word switch
    {
        "YY" or "Y" or "YYYY" or "CENTRE" or "CENTER" => Hand.Year,
        "POINTER" or "ARROW" or "HAND" or "MM" or "M" => Hand.Pointer,
        "DOTS" => Hand.Dots,
        _ => Hand.None,
    };

    public override string? Render(MarkReading reading)
    {
        var first = reading.Span.First;
        var year = $"YY={DateFigures.Year(first.Year, reading.YearDigits)}";
        return (reading.Precision == MarkPrecision.Year ? year : $"{year};pointer={first.Month}")
            .WithKind(reading, this);
    }
}
