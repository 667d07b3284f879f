using AgeWatch.Core.Due;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Digests;

/// <summary>One line of a digest: what the person was last told about a subject.</summary>
public sealed class Notice
{
    public required Guid ClubId { get; init; }

    public required Guid DigestId { get; init; }

    public required Guid SubjectId { get; init; }

    public required DueState State { get; init; }

    public required Certainty Certainty { get; init; }

    /// <summary>Null: no limit stood behind the state, or it was told before force was kept.</summary>
    public Force? Force { get; init; }

    /// <summary>Its place among the lines of the digest, from 1; 0 in digests of before places were kept.</summary>
    public required int Place { get; init; }

    /// <summary>How many digests in a row have told this person of this state, this one included.</summary>
    public required int Times { get; init; }

    /// <summary>False when the cap kept it out of the message.</summary>
    public required bool Shown { get; init; }

    public required string Text { get; init; }
}

internal sealed class NoticeConfiguration : IEntityTypeConfiguration<Notice>
{
    public void Configure(EntityTypeBuilder<Notice> notice)
    {
        notice.ToTable("notices");
        notice.HasKey(n => new { n.ClubId, n.DigestId, n.SubjectId });
        notice.Property(n => n.State).HasConversion<int>();
        notice.Property(n => n.Certainty).HasConversion<int>();
        notice.Property(n => n.Force).HasConversion<int?>();
        notice.Property(n => n.Text).HasMaxLength(2000);
        notice.HasOne<Digest>()
            .WithMany()
            .HasForeignKey(n => new { n.ClubId, n.DigestId })
            .OnDelete(DeleteBehavior.Cascade);
        notice.HasIndex(n => new { n.ClubId, n.SubjectId });
    }
}
