using AgeWatch.Core.Marks;
using AgeWatch.Core.Marks.Vins;

namespace AgeWatch.Core.Tests.Marks;

/// <summary>49 CFR 565.15: Tables III to VI for the check digit, Table VII and its note for the year.</summary>
public sealed class VinTests
{
    private const string Permitted = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ";

    /// <summary>
    /// Second formula, built otherwise than ours: the value of a sign is the last figure of its place in one string
    /// with gaps for I, O and Q, and the weights are read as text. On 200,000 random numbers.
    /// </summary>
    [Fact]
    public void The_check_digit_agrees_with_a_second_formula()
    {
        const string places = "0123456789.ABCDEFGH..JKLMN.P.R..STUVWXYZ";
        const string weights = "8765432X098765432";
        var random = new Random(565);
        for (var i = 0; i < 200_000; i++)
        {
            var vin = Random(random);
            var sum = vin.Select((sign, at) => places.IndexOf(sign) % 10 * "0123456789X".IndexOf(weights[at])).Sum();

            Assert.Equal("0123456789X"[sum % 11], Vin.CheckDigit(vin));
        }
    }

    /// <summary>11 is prime and greater than every weight and difference, so one changed value always changes the
    /// remainder.</summary>
    [Fact]
    public void One_misread_value_never_agrees()
    {
        var random = new Random(17);
        for (var i = 0; i < 20_000; i++)
        {
            var vin = Random(random).ToCharArray();
            var at = random.Next(16) is var p && p >= 8 ? p + 1 : p;
            vin[at] = (char)('0' + random.Next(10));
            var before = Vin.CheckDigit(vin);
            vin[at] = (char)('0' + (vin[at] - '0' + random.Next(1, 10)) % 10);

            Assert.NotEqual(before, Vin.CheckDigit(vin));
        }
    }

    /// <summary>By counting on from A = 1980 over the permitted letters and then 1 to 9, as Table VII does.</summary>
    [Fact]
    public void Every_year_code_stands_for_two_years_thirty_apart()
    {
        var year = 1980;
        foreach (var code in "ABCDEFGHJKLMNPRSTVWXY123456789")
        {
            Assert.Equal([year, year + 30], Vin.ModelYears(code, '1', YesNo.No));
            Assert.Equal([year, year + 30], Vin.ModelYears(code, '1', YesNo.Unknown));
            Assert.Equal([year], Vin.ModelYears(code, '1', YesNo.Yes));
            Assert.Equal([year + 30], Vin.ModelYears(code, 'A', YesNo.Yes));
            year++;
        }

        Assert.All("IOQUZ0", code => Assert.Empty(Vin.ModelYears(code, '1', YesNo.No)));
    }

    [Fact]
    public void A_passing_digit_is_never_called_proof()
    {
        var zeros = Vin.Read("00000000000000000", "US");

        Assert.Equal(VinVerdict.Valid, zeros.Verdict);
        Assert.Contains(zeros.Notes, n => n.Contains("no proof", StringComparison.Ordinal));
    }

    /// <summary>The regulation's sample 1G4AH59H45G118341 with letters put for figures.</summary>
    [Fact]
    public void Letters_that_no_vin_has_are_named_with_what_was_meant()
    {
        var vin = Vin.Read("IG4AH59H45GII834I", "US");

        Assert.Equal(VinVerdict.Invalid, vin.Verdict);
        Assert.Equal([1, 12, 13, 17], vin.Faults.Select(f => f.Position));
        Assert.All(vin.Faults, f => Assert.Equal('1', f.Perhaps));
        Assert.Contains(vin.Notes, n => n.Contains("agrees", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("1g4ah59h45g118341")]
    [InlineData(" 1G4-AH59H 45G118341 ")]
    [InlineData("\uFF11G4AH59H45G118341")]
    public void A_vin_is_read_as_people_type_it(string text) =>
        Assert.Equal(VinVerdict.Valid, Vin.Read(text, "US").Verdict);

    /// <summary>ISO 3779, from memory: outside North America the check digit is not mandatory; Z fills there.</summary>
    [Fact]
    public void Outside_North_America_a_check_digit_is_not_required()
    {
        Assert.Equal(VinVerdict.CheckDigitNotRequired, Vin.Read("WAAZZZ1AZXB000001", "DE").Verdict);
        Assert.Equal(VinVerdict.Invalid, Vin.Read("WAAZZZ1AZXB000001", "US").Verdict);
        Assert.Equal(VinVerdict.CheckDigitNotRequired, Vin.Read("WAAZZZ1AZXB000001").Verdict);
    }

    [Theory]
    [InlineData("B386061234")]
    [InlineData("2-1234/56")]
    [InlineData("\u0428\u0410\u0421\u0421\u0418 12")]
    public void A_makers_own_chassis_number_is_accepted_as_it_is(string text)
    {
        var vin = Vin.Read(text);

        Assert.Equal(VinVerdict.FreeForm, vin.Verdict);
        Assert.Equal(text, vin.Text);
        Assert.Empty(vin.Faults);
    }

    [Theory]
    [InlineData("")]
    [InlineData("1G4AH59H4\u00005G118341")]
    public void Text_that_no_vehicle_carries_is_unreadable(string text) =>
        Assert.Equal(VinVerdict.Unreadable, Vin.Read(text).Verdict);

    private static string Random(Random random)
    {
        Span<char> signs = stackalloc char[17];
        foreach (ref var sign in signs)
        {
            sign = Permitted[random.Next(Permitted.Length)];
        }

        return new(signs);
    }
}
