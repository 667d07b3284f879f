using AgeWatch.Core.Marks;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>The same marks as people type them, and near misses. Meanings follow the sources named in each convention's
/// file.</summary>
public sealed class MarkFormTests
{
    private static readonly DateOnly Seen = new(2026, 6, 30);

    [Theory]
    [InlineData("fmvss106-hose", "10-1-96", "day:1996-10-01")]
    [InlineData("fmvss106-hose", "10/01/1996", "day:1996-10-01")]
    [InlineData("fmvss106-hose", "DOT ACME 10/1/96 1/8 HL", "day:1996-10-01")]
    [InlineData("fmvss106-hose", "DOT ACME 10/96 3/16 HR", "month:1996-10")]
    [InlineData("fmvss106-hose", "DOT ACME 3/16 HL", "")]
    [InlineData("fmvss106-hose", "DOT 3/16", "")]
    [InlineData("fmvss106-hose", "Oct 1996", "month:1996-10")]
    [InlineData("fmvss106-hose", "10/1/73", "")]
    [InlineData("fmvss209-belt-year", "'86", "year:1986")]
    [InlineData("fmvss209-belt-year", "MFD 1986", "year:1986")]
    [InlineData("fmvss209-belt-year", "Date of manufacture: 1986", "year:1986")]
    [InlineData("fmvss209-belt-year", "65", "")]
    [InlineData("fmvss218-helmet", "JUNE 2010", "month:2010-06")]
    [InlineData("fmvss218-helmet", "Sept. 2009", "month:2009-09")]
    [InlineData("fmvss218-helmet", "06-2010", "month:2010-06")]
    [InlineData("fmvss218-helmet", "13/10", "")]
    [InlineData("fmvss304-expiry", "do not use after june 2021", "month:2021-06")]
    [InlineData("fmvss304-expiry", "DO NOT USE AFTER: 06/21", "month:2021-06")]
    [InlineData("fmvss304-expiry", "Do not use after 02/2034.", "month:2034-02")]
    [InlineData("fmvss304-expiry", "06/2021", "month:2021-06")]
    [InlineData("fmvss304-expiry", "Manufactured in 06/2001", "")]
    [InlineData("fmvss304-made", "Manufactured in June 2001", "month:2001-06")]
    [InlineData("fia-not-valid-after", "NOT VALID AFTER: 2020", "year:2020")]
    [InlineData("fia-not-valid-after", "FIA 8853/98 not valid after 2020", "year:2020")]
    [InlineData("fia-not-valid-after", "FIA 8853-2016 Not valid after 2031", "year:2031")]
    [InlineData("fia-not-valid-after", "Not valid after end of 2020", "year:2020")]
    [InlineData("fia-not-valid-after", "Not valid after 31.12.2020", "day:2020-12-31")]
    [InlineData("fia-not-valid-after", "Made 2015", "")]
    [InlineData("sfi-punch", "JUN 18", "month:2018-06")]
    [InlineData("sfi-punch", "SFI 16.1 06/18", "month:2018-06")]
    [InlineData("sfi-punch", "13/18", "")]
    [InlineData("cure-nQYY", "2q94", "quarter:1994-Q2")]
    [InlineData("cure-nQYY", "2Q 1994", "quarter:1994-Q2")]
    [InlineData("cure-nQYY", "Q2/94", "quarter:1994-Q2")]
    [InlineData("cure-nQYY", "Q294", "quarter:1994-Q2")]
    [InlineData("cure-nQYY", "2nd quarter 1994", "quarter:1994-Q2")]
    [InlineData("cure-nQYY", "CURE DATE 2Q94", "quarter:1994-Q2")]
    [InlineData("cure-nQYY", "0Q94", "")]
    [InlineData("quarter-year", "3.94", "quarter:1994-Q3")]
    [InlineData("quarter-year", "3 / 1994", "quarter:1994-Q3")]
    [InlineData("quarter-year", "III/94", "quarter:1994-Q3")]
    [InlineData("month-year", "3/94", "month:1994-03")]
    [InlineData("month-year", "M\u00C4RZ 94", "month:1994-03")]
    [InlineData("month-year", "ao\u00FBt 1994", "month:1994-08")]
    [InlineData("month-year", "VII.84", "month:1984-07")]
    [InlineData("month-year", "1994 June", "month:1994-06")]
    [InlineData("month-year", "0/94", "")]
    [InlineData("week-year-iso", "KW 10/90", "iso:1990-W10")]
    [InlineData("week-year-iso", "wk 10 1990", "iso:1990-W10")]
    [InlineData("week-year-iso", "53/91", "")]
    [InlineData("dmy", "25.IV.92", "day:1992-04-25")]
    [InlineData("dmy", "25APR92", "day:1992-04-25")]
    [InlineData("dmy", "25th April, 1992", "day:1992-04-25")]
    [InlineData("dmy", "250492", "day:1992-04-25")]
    [InlineData("dmy", "25041992", "day:1992-04-25")]
    [InlineData("dmy", "25\u201104\u201192", "day:1992-04-25")]
    [InlineData("mdy", "April 25, 1992", "day:1992-04-25")]
    [InlineData("mdy", "04/25/'92", "day:1992-04-25")]
    [InlineData("mdy", "042592", "day:1992-04-25")]
    [InlineData("ymd", "92-04-25", "day:1992-04-25")]
    [InlineData("ymd", "920425", "day:1992-04-25")]
    [InlineData("iso-calendar", "19850412", "day:1985-04-12")]
    [InlineData("iso-calendar", "1985\u201304\u201312", "day:1985-04-12")]
    [InlineData("iso-calendar", "1985-4-12", "")]
    [InlineData("iso-calendar", "12-04-1985", "")]
    [InlineData("iso-ordinal", "1992060", "day:")]
    [InlineData("iso-week", "2009w53", "iso:2009-W53")]
    [InlineData("iso-week", "2009-W54", "")]
    [InlineData("iso-week", "2009-W01-8", "")]
    [InlineData("iso-week", "2009-W01-0", "")]
    [InlineData("rfc3339", "1990-12-31T15:59:60-08:00", "day:1990-12-31")]
    [InlineData("rfc3339", "1937-01-01T12:00:27.87+00:20", "day:1937-01-01")]
    [InlineData("rfc3339", "1985-04-12t23:20:50z", "day:1985-04-12")]
    [InlineData("rfc3339", "1985-04-12 23:20:50Z", "day:1985-04-12")]
    [InlineData("rfc3339", "1985-04-12T23:20:50", "")]
    [InlineData("rfc3339", "1985-04-12T24:00:00Z", "")]
    [InlineData("rfc3339", "1985-04-12T23:20:60Z", "")]
    [InlineData("rfc3339", "1985-04-12T23:20:50+24:00", "")]
    [InlineData("eia-yyww", "85 12", "iso:1985-W12")]
    [InlineData("eia-yyww", "8500", "")]
    [InlineData("yymm", "99/01", "month:1999-01")]
    [InlineData("mmyy", "1399", "")]
    [InlineData("iec60062-2char", "x9", "month:1989-09 month:2009-09")]
    [InlineData("iec60062-2char", "DO", "month:1973-10 month:1993-10 month:2013-10")]
    [InlineData("iec60062-2char", "AP", "")]
    [InlineData("battery-letter-digit", "b 19", "month:2019-02")]
    [InlineData("battery-letter-digit", "N4", "")]
    [InlineData("casting-letter-day-year", "f-10-65", "day:1965-06-10")]
    [InlineData("casting-letter-day-year", "M 10 65", "")]
    [InlineData("casting-year-letter-day", "66 M 10", "day:1966-12-10")]
    [InlineData("casting-year-letter-day", "66I10", "")]
    [InlineData("julian-yyddd", "18240+1", "day:")]
    [InlineData("julian-yyddd", "85-123 B", "day:")]
    [InlineData("julian-yyddd", "85000", "")]
    [InlineData("julian-dddyy", "12385", "day:")]
    [InlineData("julian-dddyy", "36685", "")]
    [InlineData("mould-clock", "yy=94; pointer=7", "month:1994-07")]
    [InlineData("mould-clock", "94 arrow Jul", "month:1994-07")]
    [InlineData("mould-clock", "YY=1988;dots=5", "month:1988-05")]
    [InlineData("mould-clock", "YY=94", "year:1994")]
    [InlineData("mould-clock", "YY=88;dots=0", "")]
    [InlineData("mould-clock", "pointer=7", "")]
    [InlineData("year", "1986", "year:1986")]
    [InlineData("year", "086", "")]
    public void Reads_as_typed(string convention, string mark, string expected)
    {
        var answer = MarkReader.Read(new(mark) { Convention = convention, Observed = Seen });

        // A day given by its number in the year is spelled differently; it is enough here that one day was read.
        var read = answer.Readings.Select(r => r.Precision == MarkPrecision.Ordinal ? "day:" : r.Canonical);
        Assert.Equal(expected, string.Join(' ', read));
    }

    [Theory]
    [InlineData("sfi-punch", "06/18", null, MarkKind.Manufacture)]
    [InlineData("sfi-punch", "06/28", MarkKind.Expiry, MarkKind.Expiry)]
    [InlineData("sfi-punch", "valid until 06/28", null, MarkKind.Expiry)]
    [InlineData("sfi-punch", "MFD 06/18", null, MarkKind.Manufacture)]
    [InlineData("month-year", "EXP 06/28", null, MarkKind.Expiry)]
    [InlineData("month-year", "replace before 06/2028", MarkKind.Manufacture, MarkKind.Expiry)]
    [InlineData("month-year", "made 06/2018", MarkKind.Expiry, MarkKind.Manufacture)]
    [InlineData("month-year", "06/2028", MarkKind.Expiry, MarkKind.Expiry)]
    [InlineData("fia-not-valid-after", "2028", null, MarkKind.Expiry)]
    [InlineData("fmvss304-expiry", "06/2034", MarkKind.Manufacture, MarkKind.Expiry)]
    public void Words_outrank_the_role_and_the_role_outranks_habit(
        string convention, string mark, MarkKind? role, MarkKind expected)
    {
        var answer = MarkReader.Read(new(mark) { Convention = convention, Role = role, Observed = Seen });

        Assert.Equal(expected, Assert.Single(answer.Readings).Kind);
    }

    /// <summary>A punch can be read as made or as expiry; which one is a known mistake, so it is asked even though the
    /// month is clear.</summary>
    [Fact]
    public void A_punch_without_words_asks_what_it_says()
    {
        Assert.Contains(
            OpenQuestion.MadeOrExpires,
            MarkReader.Read(new("06/18") { Convention = "sfi-punch", Observed = Seen }).Questions);
        Assert.Empty(MarkReader.Read(new("MFD 06/18") { Convention = "sfi-punch", Observed = Seen }).Questions);
    }

    [Fact]
    public void Words_of_expiry_are_never_read_as_manufacture()
    {
        var answer = MarkReader.Read(new("Not valid after 2512") { Convention = "tin-wwyy", Observed = Seen });

        Assert.Equal(DropCode.NotAManufacture, Assert.Single(answer.Dropped).Code);
    }

    [Fact]
    public void At_most_120_characters_are_read()
    {
        Assert.Equal(
            MarkOutcome.One,
            MarkReader.Read(new("1507" + new string(' ', 116)) { Convention = "tin-wwyy", Observed = Seen }).Outcome);
        Assert.Equal(
            DropCode.TextTooLong, MarkReader.Read(new("1507" + new string(' ', 117)) { Convention = "tin-wwyy" })
            .Dropped[0]
            .Code);
    }
}
