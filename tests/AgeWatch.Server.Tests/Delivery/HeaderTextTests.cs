using AgeWatch.Server.Kernel.Checks;
using AgeWatch.Server.Mail;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class HeaderTextTests
{
    [Theory]
    [InlineData("Old Iron Club")]
    [InlineData("Straße fällig")]
    [InlineData("Garage 🚗 & Söhne")]
    [InlineData("<b>x")]
    [InlineData("{{7*7}}")]
    [InlineData("موتور قديم")]
    public void Names_people_have_are_fine(string name) => Assert.Null(HeaderText.Objection(name));

    /// <summary>interface vectors, rfc2047/subject: MimeKit keeps CR LF inside an encoded word or drops it silently;
    /// ASVS 5 1.3.11.</summary>
    [Theory]
    [InlineData("hello\r\nBcc: evil@example.net")]
    [InlineData("Bob\r\nBcc: evil@example.net")]
    [InlineData("Bob\nBcc: evil@example.net")]
    [InlineData("Bob\0")]
    [InlineData("Bob\u0085Bcc: x")]
    [InlineData("Bob\u2028Bcc: x")]
    [InlineData("Bob\u2029Bcc: x")]
    [InlineData("a\u202Egnp.exe")]
    [InlineData("a\u2066b")]
    [InlineData("half \uD83D")]
    [InlineData("\t")]
    [InlineData("")]
    public void Text_that_breaks_or_turns_a_header_is_refused(string text) =>
        Assert.NotNull(HeaderText.Objection(text));

    [Fact]
    public void Too_long_is_refused()
    {
        Assert.Null(HeaderText.Objection(new string('x', 200)));
        Assert.NotNull(HeaderText.Objection(new string('x', 201)));
        Assert.Null(HeaderText.Objection(new string('x', 300), maxLength: 300));
    }

    [Theory]
    [InlineData("bob@example.org")]
    [InlineData("b.o'b+cars@mail.example.co")]
    [InlineData("bob@xn--strae-oqa.example")]
    public void Plain_addresses_are_fine(string address) => Assert.Null(MailAddressPolicy.Objection(address));

    [Theory]
    [InlineData("")]
    [InlineData("bob")]
    [InlineData("bob@localhost")]
    [InlineData("bob@example.org\r\nBcc: evil@example.net")]
    [InlineData("\"bob smith\"@example.org")]
    [InlineData("bob@@example.org")]
    [InlineData("bob@[127.0.0.1]")]
    [InlineData("bob@127.0.0.1")]
    [InlineData(".bob@example.org")]
    [InlineData("bo..b@example.org")]
    [InlineData("bob@-example.org")]
    [InlineData("bob@example..org")]
    [InlineData("bob@example.org.")]
    [InlineData("bøb@example.org")]
    [InlineData("bob@straße.example")]
    [InlineData("bob@example.org, eve@example.org")]
    [InlineData("Bob <bob@example.org>")]
    public void Addresses_that_servers_read_differently_are_refused(string address) =>
        Assert.NotNull(MailAddressPolicy.Objection(address));

    /// <summary>RFC 5321 4.5.3.1: local part 64 octets; a path is 256 with its brackets, so an address 254.</summary>
    [Fact]
    public void Address_lengths_are_bounded()
    {
        var domain = string.Join('.', Enumerable.Repeat(new string('d', 61), 3)) + ".ex";
        Assert.Null(MailAddressPolicy.Objection($"{new string('l', 64)}@{domain}"));
        Assert.NotNull(MailAddressPolicy.Objection($"{new string('l', 65)}@{domain}"));
        Assert.NotNull(MailAddressPolicy.Objection($"{new string('l', 64)}@{domain}{new string('x', 20)}"));
    }

    [Fact]
    public void Hostile_server_words_are_made_harmless()
    {
        Assert.Equal("550 no [31mred bcc: x", ServerWords.Clean("550 no\u001b[31mred\r\n\r\nbcc: x\n"));
        Assert.Equal(ServerWords.MaxLength, ServerWords.Clean(new string('n', 100_000)).Length);
    }
}
