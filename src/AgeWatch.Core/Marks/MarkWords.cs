namespace AgeWatch.Core.Marks;

internal enum WordRole
{
    /// <summary>Not a word that belongs to a date.</summary>
    Unknown,
    Month,
    Quarter,
    Week,

    /// <summary>Stands around dates and says nothing about them.</summary>
    Filler,
    Made,
    Expiry,
    Dot,
    Triangle,
}

/// <summary>Words met beside dates. Month names of seven languages, only where one spelling means one month
/// everywhere.</summary>
/// <remarks>Common practice, no source.</remarks>
internal static class MarkWords
{
    /// <param name="word">Upper case, accents folded.</param>
    /// <param name="month">1 to 12 for a month name, else 0.</param>
    public static WordRole RoleOf(ReadOnlySpan<char> word, out int month)
    {
        month = MonthOf(word);
        return month > 0 ? WordRole.Month : word switch
        {
            "Q" or "QTR" or "QUARTER" => WordRole.Quarter,
            "W" or "WK" or "WEEK" or "KW" or "CW" or "WOCHE" or "SEM" or "SEMAINE" or "SEMANA" or "SETTIMANA" or "VECKA"
                or "UGE" or "UKE" => WordRole.Week,
            "MADE" or "MANUFACTURED" or "MANUFACTURE" or "MFD" or "MFG" or "MFR" or "MFGD" or "PRODUCED" or "PRODUCTION"
                or "PROD" or "BUILT" or "CURED" or "CURE" or "DOM" => WordRole.Made,
            "NOT" or "AFTER" or "UNTIL" or "VALID" or "EXPIRES" or "EXPIRY" or "EXPIRE" or "EXP" or "BEFORE"
                or "REPLACE"
                or "VOID" or "THRU" or "THROUGH" or "USE" => WordRole.Expiry,
            "BY" or "BEST" or "END" or "DATE" or "OF" or "IN" or "ON" or "YEAR" or "MONTH" or "AND" or "THE" or "CODE"
                or "YR" => WordRole.Filler,
            "DOT" => WordRole.Dot,
            "TRIANGLE" => WordRole.Triangle,
            _ => WordRole.Unknown,
        };
    }

    private static int MonthOf(ReadOnlySpan<char> word) => word.Length < 3 ? 0 : word switch
    {
        "JAN" or "JANUARY" or "JANUAR" or "JANV" or "JANVIER" or "JANUARI" or "ENE" or "ENERO" or "GEN" or "GENNAIO"
            or "JANEIRO" => 1,
        "FEB" or "FEBRUARY" or "FEBR" or "FEBRUAR" or "FEV" or "FEVR" or "FEVRIER" or "FEBRERO" or "FEBBRAIO"
            or "FEBRUARI"
            or "FEVEREIRO" => 2,
        "MAR" or "MARCH" or "MARZ" or "MRZ" or "MAERZ" or "MARS" or "MARZO" or "MRT" or "MAART" or "MARCO" => 3,
        "APR" or "APRIL" or "AVR" or "AVRIL" or "ABR" or "ABRIL" or "APRILE" => 4,
        "MAY" or "MAI" or "MAYO" or "MAG" or "MAGGIO" or "MEI" or "MAJ" or "MAIO" => 5,
        "JUN" or "JUNE" or "JUNI" or "JUIN" or "JUNIO" or "GIU" or "GIUGNO" or "JUNHO" => 6,
        "JUL" or "JULY" or "JULI" or "JUIL" or "JUILLET" or "JULIO" or "LUG" or "LUGLIO" or "JULHO" => 7,
        "AUG" or "AUGUST" or "AOUT" or "AGO" or "AGOSTO" or "AUGUSTUS" or "AUGUSTI" => 8,
        "SEP" or "SEPT" or "SEPTEMBER" or "SEPTEMBRE" or "SEPTIEMBRE" or "SET" or "SETT" or "SETTEMBRE" or "SETEMBRO" =>
            9,
        "OCT" or "OCTOBER" or "OKT" or "OKTOBER" or "OCTOBRE" or "OCTUBRE" or "OTT" or "OTTOBRE" or "OUT"
            or "OUTUBRO" => 10,
        "NOV" or "NOVEMBER" or "NOVEMBRE" or "NOVIEMBRE" or "NOVEMBRO" => 11,
        "DEC" or "DECEMBER" or "DEZ" or "DEZEMBER" or "DECEMBRE" or "DIC" or "DICIEMBRE" or "DICEMBRE" or "DEZEMBRO" =>
            12,
        _ => 0,
    };

    /// <summary>I to XII, also IIII; 0 for anything else.</summary>
    public static int Roman(ReadOnlySpan<char> word) => word switch
    {
        "I" => 1,
        "II" => 2,
        "III" => 3,
        "IV" or "IIII" => 4,
        "V" => 5,
        "VI" => 6,
        "VII" => 7,
        "VIII" => 8,
        "IX" => 9,
        "X" => 10,
        "XI" => 11,
        "XII" => 12,
        _ => 0,
    };
}
