using GuildStash.Domain.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.People;

/// <summary>A bearer token that acts as its person, with that person's role at the time of each call; only a hash is kept.</summary>
public sealed class ApiToken
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid PersonId { get; set; }

    public required string Name { get; set; }

    /// <summary>SHA-256 of the token.</summary>
    public required byte[] SecretHash { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public DateTimeOffset ExpiresAt { get; set; }

    public DateTimeOffset? RevokedAt { get; set; }

    /// <summary>What it may do, at most as much as its person.</summary>
    public TokenScope Scope { get; set; } = TokenScope.Write;

    /// <summary>When it was used last, to ten minutes or so; null: never, or before this was noted.</summary>
    public DateTimeOffset? LastUsedAt { get; set; }
}

internal sealed class ApiTokenConfiguration : IEntityTypeConfiguration<ApiToken>
{
    public void Configure(EntityTypeBuilder<ApiToken> builder)
    {
        builder.ToTable("api_token");
        builder.Property(t => t.Id).ValueGeneratedNever();
        builder.Property(t => t.Name).HasMaxLength(100);

        // Tokens that were there before could do all that their person may.
        builder.Property(t => t.Scope).HasDefaultValue(TokenScope.Write).HasSentinel(TokenScope.Write);
        builder.HasIndex(t => t.SecretHash).IsUnique();
        builder.HasOne<Person>().WithMany().HasForeignKey(t => t.PersonId).OnDelete(DeleteBehavior.Restrict);
    }
}
