using System.Text;
using MailKit;

namespace AgeWatch.Server.Mail;

/// <summary>What was said between us and the mail server, for the operator who asks why: no secrets, no message text,
/// not without end.</summary>
internal sealed class MailTranscript : IProtocolLogger
{
    private const int MostLines = 100;

    private readonly List<string> _lines = [];
    private bool _isInData;

    public IAuthenticationSecretDetector? AuthenticationSecretDetector { get; set; }

    public IReadOnlyList<string> Lines => _lines;

    public void LogConnect(Uri uri) => Add("*", $"connected to {uri.Host}:{uri.Port}");

    public void LogClient(byte[] buffer, int offset, int count)
    {
        if (_isInData)
        {
            return;
        }

        var said = Hide(buffer, offset, count);
        foreach (var line in said.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            Add("C", line);
            _isInData |= line.TrimEnd() == "DATA";
        }
    }

    public void LogServer(byte[] buffer, int offset, int count)
    {
        // The reply to DATA itself opens the message; whatever the server says next closes it.
        var said = Encoding.UTF8.GetString(buffer, offset, count);
        _isInData &= said.StartsWith("354", StringComparison.Ordinal);
        foreach (var line in said.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            Add("S", line);
        }
    }

    public void Dispose()
    {
    }

    private string Hide(byte[] buffer, int offset, int count)
    {
        var copy = buffer.AsSpan(offset, count).ToArray();
        foreach (var secret in AuthenticationSecretDetector?.DetectSecrets(buffer, offset, count) ?? [])
        {
            copy.AsSpan(secret.StartIndex - offset, secret.Length).Fill((byte)'*');
        }

        return Encoding.UTF8.GetString(copy);
    }

    private void Add(string who, string line)
    {
        if (_lines.Count < MostLines && ServerWords.Clean(line) is { Length: > 0 } clean)
        {
            _lines.Add($"{who}: {clean}");
        }
    }
}
