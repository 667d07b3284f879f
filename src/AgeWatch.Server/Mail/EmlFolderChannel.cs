using System.Security.Cryptography;
using System.Text;

namespace AgeWatch.Server.Mail;

/// <summary>Mail as files, for a club that has set no mail server: one .eml each, whole or not at all.</summary>
internal sealed class EmlFolderChannel(string folder) : IMailChannel
{
    public async Task<MailOutcome> SendAsync(OutgoingMail mail, CancellationToken stop)
    {
        // Named by the message id alone: no address shows in a listing, and a second try replaces the first.
        var name = Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(mail.MessageId)).AsSpan(0, 12))
            + ".eml";
        var path = Path.Combine(folder, name);
        var unfinished = $"{path}.{Guid.NewGuid():n}.part";
        try
        {
            Directory.CreateDirectory(folder);
            var options = new FileStreamOptions
            {
                Mode = FileMode.CreateNew,
                Access = FileAccess.Write,
                Share = FileShare.None
            };
            if (!OperatingSystem.IsWindows())
            {
                options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
            }

            await using (var file = new FileStream(unfinished, options))
            {
                await file.WriteAsync(mail.Message, stop);
                file.Flush(flushToDisk: true);
            }

            File.Move(unfinished, path, overwrite: true);
            return new MailOutcome.Accepted($"Written to {name}");
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return new MailOutcome.NoServer(ServerWords.Clean(error.Message));
        }
        finally
        {
            File.Delete(unfinished);
        }
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;
}
