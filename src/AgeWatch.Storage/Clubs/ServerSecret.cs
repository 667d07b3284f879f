using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace AgeWatch.Storage.Clubs;

/// <summary>A random value that all processes on one database share (cursor seal, Message-ID seal). Not
/// tenant-owned.</summary>
public sealed class ServerSecret
{
    public required string Name { get; init; }

    public required string Value { get; init; }
}

internal sealed class ServerSecretConfiguration : IEntityTypeConfiguration<ServerSecret>
{
    public void Configure(EntityTypeBuilder<ServerSecret> secret)
    {
        secret.ToTable("server_secrets");
        secret.HasKey(s => s.Name);
        secret.Property(s => s.Name).HasMaxLength(64);
        secret.Property(s => s.Value).HasMaxLength(200);
    }
}
