using System.Security.Cryptography;
using AgeWatch.Server.Kernel.Secrets;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class SecretBoxTests
{
    private static readonly byte[] Old = RandomNumberGenerator.GetBytes(32);
    private static readonly byte[] New = RandomNumberGenerator.GetBytes(32);

    [Fact]
    public void What_was_sealed_opens_again_and_shows_nothing_meanwhile()
    {
        var box = new SecretBox([Old]);
        var sealedText = box.Seal("whsec_abc", "webhook:1");

        Assert.DoesNotContain("abc", sealedText, StringComparison.Ordinal);
        Assert.NotEqual(sealedText, box.Seal("whsec_abc", "webhook:1"));
        Assert.Equal("whsec_abc", box.Open(sealedText, "webhook:1"));
    }

    [Fact]
    public void A_new_key_seals_and_the_old_one_still_opens()
    {
        var before = new SecretBox([Old]).Seal("whsec_abc", "webhook:1");
        var both = new SecretBox([New, Old]);

        Assert.Equal("whsec_abc", both.Open(before, "webhook:1"));
        Assert.Throws<CryptographicException>(() =>
            new SecretBox([Old]).Open(both.Seal("x", "webhook:1"), "webhook:1"));
    }

    [Fact]
    public void A_sealed_text_opens_only_in_its_own_row_and_unchanged()
    {
        var box = new SecretBox([Old]);
        var sealedText = box.Seal("whsec_abc", "webhook:1");
        var changed = sealedText[..^4] + (sealedText[^4] == 'A' ? 'B' : 'A') + sealedText[^3..];

        Assert.ThrowsAny<CryptographicException>(() => box.Open(sealedText, "webhook:2"));
        Assert.ThrowsAny<CryptographicException>(() => box.Open(changed, "webhook:1"));
        Assert.ThrowsAny<CryptographicException>(() => box.Open("whsec_abc", "webhook:1"));
    }
}
