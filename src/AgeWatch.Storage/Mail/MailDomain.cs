using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Mail;

/// <summary>
/// A mail domain that has asked for patience and has taken nothing since; a domain without a row is written to freely.
/// It is about a mail server and no club, so it is not tenant-owned.
/// </summary>
public sealed class MailDomain
{
    /// <summary>In lower case.</summary>
    public required string Domain { get; init; }

    /// <summary>From this instant on one try may be made; who makes it moves it on first, so that nobody else
    /// does.</summary>
    public required DateTime FreeAt { get; set; }

    /// <summary>How many times in a row it has asked.</summary>
    public int Times { get; set; }

    /// <summary>Raised by every change, so that only who took the try says what came of it.</summary>
    public int Version { get; set; }
}

internal sealed class MailDomainConfiguration : IEntityTypeConfiguration<MailDomain>
{
    public void Configure(EntityTypeBuilder<MailDomain> domain)
    {
        domain.ToTable("mail_domains");
        domain.HasKey(d => d.Domain);
        domain.Property(d => d.Domain).HasMaxLength(254);
    }
}
