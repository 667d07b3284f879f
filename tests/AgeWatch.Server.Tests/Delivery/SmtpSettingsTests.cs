using AgeWatch.Server.Delivery.Mail;

namespace AgeWatch.Server.Tests.Delivery;

public sealed class SmtpSettingsTests
{
    [Theory]
    [InlineData("mail.example.org,587,starttls,bob", "mail.example.org", 587, "StartTls", "bob")]
    [InlineData("mail.example.org:465, tls, bob", "mail.example.org", 465, "Tls", "bob")]
    [InlineData("host=mail.example.org;port=2587;security=starttls;user=bob@example.org", "mail.example.org", 2587, "StartTls", "bob@example.org")]
    [InlineData("smtp://bob%40example.org@mail.example.org", "mail.example.org", 587, "StartTls", "bob@example.org")]
    [InlineData("smtps://bob@mail.example.org", "mail.example.org", 465, "Tls", "bob")]
    [InlineData("smtp://bob@mail.example.org:2525?security=tls", "mail.example.org", 2525, "Tls", "bob")]
    public void A_server_with_sign_in_is_read(string text, string host, int port, string security, string user)
    {
        var settings = SmtpSettings.Parse(text, password: "s");

        Assert.Equal((host, port, security, user, "s"),
            (settings.Host, settings.Port, settings.Security.ToString(), settings.User, settings.Password));
    }

    [Theory]
    [InlineData("relay", "relay", 587, "StartTls")]
    [InlineData("127.0.0.1:1025", "127.0.0.1", 1025, "None")]
    [InlineData("localhost 2525", "localhost", 2525, "None")]
    [InlineData("[::1]:25,none", "::1", 25, "None")]
    [InlineData("smtp://localhost:9925?security=none", "localhost", 9925, "None")]
    public void A_relay_without_sign_in_is_read(string text, string host, int port, string security)
    {
        var settings = SmtpSettings.Parse(text);

        Assert.Equal((host, port, security, null), (settings.Host, settings.Port, settings.Security.ToString(), settings.User));
    }

    [Theory]
    [InlineData("")]
    [InlineData("http://mail.example.org")]
    [InlineData("mail.example.org:99999")]
    [InlineData("mail.example.org,587,sometimes,bob,eve")]
    [InlineData("host=mail.example.org;host=other.example.org")]
    [InlineData("host=mail.example.org;pass=x")]
    [InlineData("port=25")]
    [InlineData("mail.example.org,starttls,bob")]
    [InlineData("mail.example.org,25,none")]
    public void What_cannot_work_is_refused_at_the_start(string text)
    {
        var password = text.EndsWith("none", StringComparison.Ordinal) ? "s3cret" : null;

        var error = Assert.Throws<FormatException>(() => SmtpSettings.Parse(text, password));

        Assert.DoesNotContain("s3cret", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_password_never_goes_over_an_open_connection_to_another_machine()
    {
        Assert.Throws<FormatException>(() => SmtpSettings.Parse("mail.example.org,25,none,bob", "s3cret"));
        Assert.Equal("bob", SmtpSettings.Parse("127.0.0.1,2525,none,bob", "s3cret").User);
    }
}
