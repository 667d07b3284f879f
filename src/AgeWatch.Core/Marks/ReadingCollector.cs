namespace AgeWatch.Core.Marks;

/// <summary>Collects the meanings of one mark and drops those that cannot be. Reused from call to call, per
/// thread.</summary>
internal sealed class ReadingCollector
{
    /// <summary>Enough for every completion of two unreadable characters that is worth reading.</summary>
    private const int MostKept = 4096;

    /// <summary>More than any text that was read in full has.</summary>
    private const int MostDropped = 128;

    private readonly List<Candidate> kept = new(64);
    private readonly List<Dropped> dropped = new(64);
    private MarkConvention convention = null!;
    private DateOnly? lower;
    private DateOnly floor;
    private DateOnly upper;
    private DropCode upperCode;
    private DateOnly latest;
    private DateOnly madeFloor;
    private DateOnly madeUpper;
    private DropCode madeUpperCode;
    private MarkKind kind;
    private MarkAssumption standing;
    private bool isPlain;

    /// <summary>What to try, in order.</summary>
    public List<PlannedConvention> Plan { get; } = new(64);

    public MarkQuestion Question { get; private set; } = null!;

    /// <summary>The caller named this convention or it is usual on the part, so it may be read with less than its full
    /// form.</summary>
    public bool Named { get; private set; }

    /// <summary>Named, or at least met on this kind of part: an expiry may be read although its words were not
    /// typed.</summary>
    public bool OnThisPart { get; private set; }

    /// <summary>
    /// A form that the law prescribes on this kind of part fitted, or a date with its year in full, whatever came of
    /// it: week 54 on a tyre is a misread week, and no code of another trade.
    /// </summary>
    public bool FormIsSure { get; private set; }

    /// <summary>Whether the convention made anything of the text since <see cref="Open"/>.</summary>
    public bool Understood { get; private set; }

    /// <summary>The text has zeros where letters O were typed.</summary>
    public bool SecondTry { get; private set; }

    public List<Candidate> Kept => kept;

    public List<Dropped> DroppedOnes => dropped;

    /// <summary>Kept beside the others, and not governing while those stand.</summary>
    public List<Candidate> Rare { get; } = new(8);

    /// <summary>The conventions of the reading in the making.</summary>
    public List<MarkConvention> Several { get; } = new(8);

    /// <summary>Lists of conventions that readings of this answer share.</summary>
    public List<MarkConvention[]> Lists { get; } = new(8);

    public void Reset(MarkQuestion question)
    {
        Question = question;
        DecideBounds();
        FormIsSure = false;
        Plan.Clear();
        Lists.Clear();
        kept.Clear();
        Rare.Clear();
        dropped.Clear();
    }

    public void Open(PlannedConvention step, in MarkText text, MarkAssumption assumed)
    {
        SecondTry = (assumed & MarkAssumption.LetterOIsZero) != 0;
        convention = step.Convention;
        Named = step.Reason is PlanReason.Named;
        OnThisPart = step.Reason is PlanReason.Named or PlanReason.OnThisPart;
        Understood = false;
        isPlain = convention.IsPlain(text);
        standing = assumed | step.Reason switch
        {
            PlanReason.NothingUsualFits => MarkAssumption.NotUsualHere,
            PlanReason.Plain => MarkAssumption.PlainDate,
            _ => MarkAssumption.None,
        };
        DecideKind(text);
        TakeBounds();
    }

    /// <summary>The text has the form, but names nothing that exists.</summary>
    public void Refuse(DropCode code)
    {
        Drop(null, code);
    }

    /// <summary>
    /// Whether a convention of expiry may read the text: its words say so, or it belongs to the part. Words that say
    /// "made" refuse it.
    /// </summary>
    public bool MayExpire(in MarkText text, out MarkAssumption assumed)
    {
        assumed = text.SaysExpiry || Question.Role == MarkKind.Expiry
            ? MarkAssumption.None
            : MarkAssumption.WordsMissing;
        if (text.SaysMade && !text.SaysExpiry)
        {
            if (OnThisPart)
            {
                Refuse(DropCode.NotAnExpiry);
            }

            return false;
        }

        return text.SaysExpiry || OnThisPart;
    }

    public void Add(
        DateSpan span, MarkPrecision precision, int yearDigits, MarkAssumption assumed = MarkAssumption.None)
    {
        Fits();
        FormIsSure |= isPlain && yearDigits == 4;
        var years = convention.Years;
        if (span.Last < years.First || span.First > years.Last)
        {
            // A number that no convention was named for is no year of the Middle Ages.
            if (yearDigits < 4 || Named)
            {
                Drop(span, DropCode.OutsideConventionYears);
            }
        }
        else if (kind == MarkKind.Expiry && yearDigits == 1 && !OnThisPart)
        {
            Drop(span, DropCode.ExpiryWithoutDecade);
        }
        else if (lower is null && yearDigits < 4 && span.Last < floor)
        {
            Drop(span, DropCode.BeforeDefaultBound);
        }
        else if (span.Last < lower)
        {
            Drop(span, DropCode.BeforeNotBefore);
        }
        else if (span.First > upper)
        {
            Drop(span, upperCode);
        }
        else if (kept.Count < MostKept)
        {
            kept.Add(new(convention, kind, span, precision, (byte)yearDigits, assumed | standing));
        }
    }

    /// <summary>A reading ruled out by a fact of its own kind.</summary>
    public void Drop(DateSpan? span, DropCode code)
    {
        Fits();
        var entry = new Dropped(convention.Key, span, code);
        if (dropped.Count < MostDropped && (dropped.Count == 0 || dropped[^1] != entry))
        {
            dropped.Add(entry);
        }
    }

    /// <summary>A convention was asked for that does not exist.</summary>
    public void DropUnknown(string key) => dropped.Add(new(key, null, DropCode.UnknownConvention));

    /// <summary>
    /// The years that year figures stand for: four say it, two mean 19YY and 20YY, one means every such year of the
    /// convention near the bounds. Empty for other counts of figures.
    /// </summary>
    public YearRun Years(int value, int digits) => digits switch
    {
        4 when value is > 1 and < 9999 => new(value, value, 1),
        2 => new(1900 + value, 2000 + value, 100),
        1 => Cycle(value, 10),
        _ => default,
    };

    /// <summary>Every year of the convention that leaves <paramref name="remainder"/> when divided by <paramref
    /// name="period"/>.</summary>
    public YearRun Cycle(int remainder, int period)
    {
        var from = Math.Max(convention.Years.First.Year, (lower ?? floor).Year - period);
        var to = Math.Min(convention.Years.Last.Year, upper.Year + period - 1);
        var first = from + (remainder - from % period + period) % period;
        return first > to ? default : new(first, to, period);
    }

    /// <summary>One day of every year the figures can mean.</summary>
    public void Day(int year, int yearDigits, int month, int day, MarkAssumption assumed = MarkAssumption.None)
    {
        if (month is < 1 or > 12)
        {
            Refuse(DropCode.MonthOutOfRange);
            return;
        }

        if (day is < 1 or > 31)
        {
            Refuse(DropCode.NoSuchDate);
            return;
        }

        foreach (var y in Years(year, yearDigits))
        {
            if (day > DateTime.DaysInMonth(y, month))
            {
                Refuse(DropCode.NoSuchDate);
            }
            else
            {
                Add(DateSpan.Day(new(y, month, day)), MarkPrecision.Day, yearDigits, assumed | Decade(yearDigits));
            }
        }
    }

    public void Month(int year, int yearDigits, int month, MarkAssumption assumed = MarkAssumption.None)
    {
        if (month is < 1 or > 12)
        {
            Refuse(DropCode.MonthOutOfRange);
            return;
        }

        foreach (var y in Years(year, yearDigits))
        {
            Add(DateSpan.Month(y, month), MarkPrecision.Month, yearDigits, assumed | Decade(yearDigits));
        }
    }

    public void Quarter(int year, int yearDigits, int quarter)
    {
        if (quarter is < 1 or > 4)
        {
            Refuse(DropCode.QuarterOutOfRange);
            return;
        }

        foreach (var y in Years(year, yearDigits))
        {
            Add(DateSpan.Quarter(y, quarter), MarkPrecision.Quarter, yearDigits, Decade(yearDigits));
        }
    }

    public void Year(int year, int yearDigits, MarkAssumption assumed = MarkAssumption.None)
    {
        foreach (var y in Years(year, yearDigits))
        {
            Add(DateSpan.Year(y), MarkPrecision.Year, yearDigits, assumed | Decade(yearDigits));
        }
    }

    public void OfIsoWeek(int year, int yearDigits, int week, MarkAssumption assumed = MarkAssumption.None)
    {
        foreach (var y in Years(year, yearDigits))
        {
            if (IsoWeek.Span(y, week) is { } days)
            {
                Add(days, MarkPrecision.IsoWeek, yearDigits, assumed | Decade(yearDigits));
            }
            else
            {
                Refuse(DropCode.WeekOutOfRange);
            }
        }
    }

    public void DayOfYear(int year, int yearDigits, int day, MarkAssumption assumed = MarkAssumption.None)
    {
        foreach (var y in Years(year, yearDigits))
        {
            if (day < 1 || day > (DateTime.IsLeapYear(y) ? 366 : 365))
            {
                Refuse(DropCode.DayOfYearOutOfRange);
            }
            else
            {
                Add(
                    DateSpan.Day(new DateOnly(y, 1, 1).AddDays(day - 1)), MarkPrecision.Ordinal, yearDigits,
                    assumed | Decade(yearDigits));
            }
        }
    }

    private void Fits()
    {
        Understood = true;
        FormIsSure |= Named && convention.Tag == Tag.Law;
    }

    private static MarkAssumption Decade(int yearDigits) =>
        yearDigits == 1 ? MarkAssumption.DecadeOpen : MarkAssumption.None;

    private void DecideKind(in MarkText text)
    {
        var role = Question.Role;
        var said = text.SaysExpiry ? MarkKind.Expiry : text.SaysMade ? MarkKind.Manufacture : (MarkKind?)null;
        kind = convention.KindIsFixed ? convention.Kind : said ?? role ?? convention.Kind;
        if (role is { } given && given != kind)
        {
            standing |= convention.KindIsFixed ? MarkAssumption.KindByConvention : MarkAssumption.KindByWords;
        }
    }

    /// <summary>The tightest upper bound of a manufacture and the reason it gives; of equal ones the most
    /// telling.</summary>
    private void DecideBounds()
    {
        lower = Question.NotBefore;
        madeFloor = Eras.DefaultFloor(Question.VehicleBuilt);
        latest = madeUpper = Question.NotAfter ?? DateOnly.MaxValue;
        madeUpperCode = DropCode.AfterNotAfter;
        if ((Question.Observed ?? Question.Today) is { } seen && seen <= madeUpper)
        {
            madeUpper = seen;
            madeUpperCode = Question.Observed is null ? DropCode.NotYetMade : DropCode.SeenBeforeMade;
        }

        if (Question is { OriginalEquipment: YesNo.Yes, VehicleBuilt: { } built } && built.Last <= madeUpper)
        {
            madeUpper = built.Last;
            madeUpperCode = DropCode.MadeAfterCar;
        }
    }

    /// <summary>An expiry may lie ahead of everything but the latest day given.</summary>
    private void TakeBounds() => (floor, upper, upperCode) = kind == MarkKind.Expiry
        ? (Eras.ExpiryFloor, latest, DropCode.AfterNotAfter)
        : (madeFloor, madeUpper, madeUpperCode);

    internal readonly record struct Candidate(
        MarkConvention Convention, MarkKind Kind, DateSpan Span, MarkPrecision Precision, byte YearDigits,
        MarkAssumption Assumed);

    internal readonly record struct Dropped(string Key, DateSpan? Span, DropCode Code);
}

/// <summary>Years first, first + step ... up to and including last; the default is empty.</summary>
internal readonly record struct YearRun(int First, int Last, int Step)
{
    public Enumerator GetEnumerator() => new(this);

    internal struct Enumerator(YearRun run)
    {
        private int next = run.First;

        public int Current { get; private set; }

        public bool MoveNext()
        {
            if (run.Step == 0 || next > run.Last)
            {
                return false;
            }

            Current = next;
            next += run.Step;
            return true;
        }
    }
}
