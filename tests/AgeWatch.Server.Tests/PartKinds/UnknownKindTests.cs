using AgeWatch.Server.Kernel.Checks;

namespace AgeWatch.Server.Tests.PartKinds;

/// <summary>Words as a person would guess them, beside the keys of the catalogue that share them.</summary>
public sealed class UnknownKindTests
{
    [Theory]
    [InlineData("brake-hose", "brake-hose-flexible")]
    [InlineData("road-tyre", "tyre-road")]
    [InlineData("Timing belts", "timing-belt")]
    [InlineData("fuel_filter", "fuel-filter")]
    public void The_nearest_kind_is_named_first(string written, string nearest) =>
        Assert.Contains(
            $"There is no part kind \"{written}\"; near it: {nearest}", UnknownKind.Detail(written),
            StringComparison.Ordinal);

    [Theory]
    [InlineData("x")]
    [InlineData("")]
    [InlineData("---")]
    [InlineData("flux-capacity")]
    public void Where_nothing_is_near_nothing_is_guessed(string written) =>
        Assert.Equal(
            $"There is no part kind \"{written}\"; GET /v1/part-kinds lists them.", UnknownKind.Detail(written));
}
