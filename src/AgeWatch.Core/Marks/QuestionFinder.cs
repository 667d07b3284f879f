namespace AgeWatch.Core.Marks;

/// <summary>Finds the facts that would leave fewer readings.</summary>
internal static class QuestionFinder
{
    public static OpenQuestion[
] For(ReadingCollector collector, MarkReading[] readings, DroppedReading[] dropped, bool completed)
    {
        Span<OpenQuestion> found = stackalloc OpenQuestion[16];
        var count = 0;
        if (readings.Length == 0)
        {
            if (Array.Exists(dropped, static d => d.Code == DropCode.NoDateGroup))
            {
                found[count++] = OpenQuestion.OtherSidewall;
            }

            if (Array.Exists(dropped, static d => d.Code == DropCode.CouldBeBore))
            {
                found[count++] = OpenQuestion.BoreOrDate;
            }

            if (completed)
            {
                found[count++] = OpenQuestion.UnreadableCharacter;
            }

            return found[..count].ToArray();
        }

        var facts = Facts.Of(readings);
        if (facts.KindUnsure)
        {
            found[count++] = OpenQuestion.MadeOrExpires;
        }

        if (readings.Length == 1)
        {
            return found[..count].ToArray();
        }

        AboutThePart(collector.Question, readings, facts, found, ref count);
        var before = count;
        AboutTheFigures(collector.Question, facts, found, ref count);
        if (completed)
        {
            found[count++] = OpenQuestion.UnreadableCharacter;
        }

        if (count == before && !facts.OneConvention)
        {
            found[count++] = OpenQuestion.WhichConvention;
        }

        if (collector.Question.VehicleBuilt is null
            && collector.Question.OriginalEquipment != YesNo.No && facts.SeveralYears)
        {
            found[count++] = OpenQuestion.VehicleBuilt;
        }

        if (facts.DecadeOpen)
        {
            found[count++] = OpenQuestion.Decade;
        }

        if (collector.Question.Observed is null && collector.Question.NotAfter is null && facts.SeveralYears)
        {
            found[count++] = OpenQuestion.WhenSeen;
        }

        return found[..count].ToArray();
    }

    private static void AboutThePart(
        MarkQuestion question, MarkReading[] readings, in Facts facts, Span<OpenQuestion> found, ref int count)
    {
        if (question is { OriginalEquipment: YesNo.Unknown, VehicleBuilt: { } built } && IsAfter(readings[^1], built)
            && !IsAfter(readings[0], built))
        {
            found[count++] = OpenQuestion.OriginalPart;
        }

        if (question.Triangle == YesNo.Unknown && facts.TyreInNineties && facts.TyreOutsideNineties)
        {
            found[count++] = OpenQuestion.Triangle;
        }

        if (question.Country is null && facts is { UsaHose: true, NotUsaHose: true })
        {
            found[count++] = OpenQuestion.SoldInUsa;
        }
    }

    private static bool IsAfter(in MarkReading reading, DateSpan built) =>
        reading.Kind == MarkKind.Manufacture && reading.Span.First > built.Last;

    private static void AboutTheFigures(MarkQuestion question, in Facts facts, Span<OpenQuestion> found, ref int count)
    {
        if (facts is { DayFirst: true, MonthFirst: true })
        {
            found[count++] = OpenQuestion.DayOrMonthFirst;
        }

        if (facts.SeveralNumbers)
        {
            found[count++] = OpenQuestion.QuarterMonthOrWeek;
        }

        if (facts is { YearFirst: true, YearLast: true })
        {
            found[count++] = OpenQuestion.YearFirstOrLast;
        }

        if (facts is { DayNumber: true, NotDayNumber: true })
        {
            found[count++] = OpenQuestion.CalendarOrDayNumber;
        }

        if (question.LetterScheme == LetterScheme.Unknown && facts.BothSchemes)
        {
            found[count++] = OpenQuestion.LetterScheme;
        }

        if (facts.Split)
        {
            found[count++] = OpenQuestion.GroupGaps;
        }
    }

    /// <summary>What differs between the readings.</summary>
    private readonly record struct Facts
    {
        public bool KindUnsure { get; private init; }

        public bool DayFirst { get; private init; }

        public bool MonthFirst { get; private init; }

        public bool YearFirst { get; private init; }

        public bool YearLast { get; private init; }

        public bool DayNumber { get; private init; }

        public bool NotDayNumber { get; private init; }

        public bool UsaHose { get; private init; }

        public bool NotUsaHose { get; private init; }

        public bool SeveralNumbers { get; private init; }

        public bool TyreInNineties { get; private init; }

        public bool TyreOutsideNineties { get; private init; }

        public bool BothSchemes { get; private init; }

        public bool Split { get; private init; }

        public bool DecadeOpen { get; private init; }

        public bool SeveralYears { get; private init; }

        public bool OneConvention { get; private init; }

        public static Facts Of(MarkReading[] readings)
        {
            int dayFirst = 0, monthFirst = 0, yearFirst = 0, yearLast = 0, dayNumber = 0, usaHose = 0;
            int numbers = 0, nineties = 0, otherTyre = 0, decades = 0;
            var assumed = MarkAssumption.None;
            var kinds = 0;
            var oneConvention = true;
            foreach (var reading in readings)
            {
                var order = OrderOf(reading);
                dayFirst += Only(order, MarkOrder.DayFirst, MarkOrder.MonthFirst);
                monthFirst += Only(order, MarkOrder.MonthFirst, MarkOrder.DayFirst);
                yearFirst += Only(order, MarkOrder.YearFirst, MarkOrder.YearLast);
                yearLast += Only(order, MarkOrder.YearLast, MarkOrder.YearFirst);
                dayNumber += Only(order, MarkOrder.DayNumber, MarkOrder.None);
                usaHose += Only(order, MarkOrder.UsaHose, MarkOrder.None);
                numbers |= order.HasFlag(MarkOrder.OneNumber) ? 1 << (int)reading.Precision : 0;
                if (order.HasFlag(MarkOrder.TyreFigures) && reading.YearDigits == 1)
                {
                    var inside = TinWeek.Of(reading.Span.First).Year is >= 1990 and <= 1999;
                    nineties += inside ? 1 : 0;
                    otherTyre += inside ? 0 : 1;
                }

                decades += reading.Assumed.HasFlag(MarkAssumption.DecadeOpen) ? 1 : 0;
                assumed |= reading.Assumed;
                kinds |= 1 << (int)reading.Kind;
                oneConvention &= reading.Conventions[0] == readings[0].Conventions[0];
            }

            return new()
            {
                KindUnsure = kinds == 3
                    || assumed.HasFlag(MarkAssumption.PunchIsMade)
                    || assumed.HasFlag(MarkAssumption.WordsMissing),
                DayFirst = dayFirst > 0,
                MonthFirst = monthFirst > 0,
                YearFirst = yearFirst > 0,
                YearLast = yearLast > 0,
                DayNumber = dayNumber > 0,
                NotDayNumber = dayNumber < readings.Length,
                UsaHose = usaHose > 0,
                NotUsaHose = usaHose < readings.Length,
                SeveralNumbers = (numbers & (numbers - 1)) != 0,
                TyreInNineties = nineties > 0,
                TyreOutsideNineties = otherTyre > 0,
                BothSchemes = assumed.HasFlag(MarkAssumption.SkipI | MarkAssumption.AToL),
                Split = assumed.HasFlag(MarkAssumption.DateGroupSplit),
                DecadeOpen = decades > 1,
                SeveralYears = readings[0].Span.Last.Year < readings[^1].Span.First.Year,
                OneConvention = oneConvention,
            };
        }

        private static MarkOrder OrderOf(in MarkReading reading)
        {
            var order = MarkOrder.None;
            for (var i = 0; i < reading.Conventions.Count; i++)
            {
                order |= reading.Conventions[i].Order;
            }

            return order;
        }

        private static int Only(MarkOrder order, MarkOrder has, MarkOrder hasNot) =>
            order.HasFlag(has) && (hasNot == MarkOrder.None || !order.HasFlag(hasNot)) ? 1 : 0;
    }
}
