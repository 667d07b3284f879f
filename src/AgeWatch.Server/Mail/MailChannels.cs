using AgeWatch.Server.Kernel.Settings;

namespace AgeWatch.Server.Mail;

/// <summary>Opens the way out that the settings name: a mail server, or files when none is set.</summary>
internal sealed class MailChannels(MailOptions mail, DataOptions data, TimeProvider clock)
{
    public string Folder => Path.Combine(data.Folder, "mail");

    public IMailChannel Open(MailTranscript? transcript = null) => mail.Target is { } target
        ? new SmtpChannel(target, mail.From.Address, clock, transcript)
        : new EmlFolderChannel(Folder);
}
