using AgeWatch.Core;
using AgeWatch.Server.Answers;
using AgeWatch.Storage.Components;

namespace AgeWatch.Server.Tests.Components;

public sealed class FittingHistoryTests
{
    private static readonly Guid Car = Guid.CreateVersion7();
    private static readonly Guid Other = Guid.CreateVersion7();

    [Fact]
    public void Fittings_come_in_the_order_in_which_they_happened()
    {
        var (first, second, third) = (
            Fit(Car, null, "2001-01-01"), Fit(Other, "2001-01-01", "2001-01-01"), Fit(Car, "2001-01-01", null));

        FittingHistory history = new([third, first, second]);

        Assert.Equal([first, second, third], history.All);
        Assert.Equal((third, Car), (history.Current, history.FirstVehicleId));
        Assert.False(history.Overlaps);
    }

    [Fact]
    public void A_chain_of_refits_starts_with_its_first()
    {
        var first = Fit(Car, "2001-01-01", "2002-01-01", 10, 20);
        var second = Fit(Car, "2003-01-01", "2004-01-01", 20, 20);
        var third = Fit(Car, "2005-01-01", null, 20);

        FittingHistory history = new([first, second, third]);

        Assert.Equal(first, history.Start(third));
        Assert.Equal(second, history.Continued(third));
    }

    [Theory]
    [InlineData(20, 21)]
    [InlineData(20, null)]
    [InlineData(null, 20)]
    [InlineData(null, null)]
    public void Use_between_or_an_unknown_odometer_breaks_the_chain(int? off, int? on)
    {
        var second = Fit(Car, "2003-01-01", null, on);

        Assert.Null(new FittingHistory([Fit(Car, "2001-01-01", "2002-01-01", 10, off), second]).Continued(second));
    }

    [Fact]
    public void Another_vehicle_in_between_breaks_the_chain()
    {
        var third = Fit(Car, "2005-01-01", null, 20);

        Assert.Null(new FittingHistory([
            Fit(Car, "2001-01-01", "2002-01-01", 10, 20), Fit(Other, "2003-01-01", "2004-01-01", 20, 20),
            third]).Continued(third));
    }

    [Theory]
    [InlineData("2002-01-01", "2002-01-01", false)]
    [InlineData("2002-01-02", "2002-01-01", true)]
    [InlineData(null, "2002-01-01", true)]
    public void Two_places_on_one_day_overlap(string? off, string on, bool overlaps) =>
        Assert.Equal(overlaps, new FittingHistory([Fit(Car, "2001-01-01", off), Fit(Other, on, null)]).Overlaps);

    private static Fitting Fit(Guid vehicleId, string? on, string? off, int? shownOn = null, int? shownOff = null) =>
        new()
        {
            ClubId = Guid.Empty,
            Id = Guid.CreateVersion7(),
            ComponentId = Guid.Empty,
            VehicleId = vehicleId,
            FittedOn = on is null ? null : DateOnly.Parse(on, System.Globalization.CultureInfo.InvariantCulture),
            FittedThousandths = shownOn * 1000L,
            FittedUnit = shownOn is null ? null : DistanceUnit.Mile,
            TakenOffOn = off is null ? null : DateOnly.Parse(off, System.Globalization.CultureInfo.InvariantCulture),
            TakenOffThousandths = shownOff * 1000L,
            TakenOffUnit = shownOff is null ? null : DistanceUnit.Mile,
        };
}
