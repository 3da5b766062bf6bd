using GuildStash.Domain.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.People;

/// <summary>A link that lets one person make an account with a given role; only a hash of its secret is kept.</summary>
public sealed class Invitation
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>SHA-256 of the secret in the link.</summary>
    public required byte[] SecretHash { get; set; }

    /// <summary>For whom it was meant, as a reminder for who invited.</summary>
    public string Note { get; set; } = "";

    public Role Role { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public DateTimeOffset ExpiresAt { get; set; }

    public DateTimeOffset? UsedAt { get; set; }

    public Guid? UsedById { get; set; }

    public DateTimeOffset? WithdrawnAt { get; set; }
}

internal sealed class InvitationConfiguration : IEntityTypeConfiguration<Invitation>
{
    public void Configure(EntityTypeBuilder<Invitation> builder)
    {
        builder.ToTable("invitation");
        builder.Property(i => i.Id).ValueGeneratedNever();
        builder.Property(i => i.Note).HasMaxLength(200);
        builder.HasIndex(i => i.SecretHash).IsUnique();
        builder.HasOne<Person>().WithMany().HasForeignKey(i => i.CreatedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(i => i.UsedById).OnDelete(DeleteBehavior.Restrict);
    }
}
