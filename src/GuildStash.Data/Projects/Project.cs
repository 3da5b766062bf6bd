using GuildStash.Domain.Projects;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Projects;

/// <summary>Charity work for one recipient: what it accepts, what is wanted and by when.</summary>
public sealed class Project
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public required string Name { get; set; }

    public string Recipient { get; set; } = "";

    public string Description { get; set; } = "";

    public RecipientRules Rules { get; set; }

    public DateOnly? Deadline { get; set; }

    public List<WantedPiece> Pieces { get; } = [];

    /// <summary>Last part of the address at which everybody may see how far it is, without names; null keeps it to members.</summary>
    public string? PublicName { get; set; }

    public DateTimeOffset? ClosedAt { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid ChangedById { get; set; }

    public int Version { get; set; }
}

/// <summary>A number of alike pieces that a project wants.</summary>
public sealed class WantedPiece
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid ProjectId { get; set; }

    public int Position { get; set; }

    public required string Name { get; set; }

    public int Wanted { get; set; }

    /// <summary>The line of the piece book that says what yarn it takes; null where nobody has said, and then nothing is planned for it.</summary>
    public Guid? PieceId { get; set; }

    public Piece? Piece { get; set; }

    /// <summary>What one of them counts in a plan, 1 to 1,000.</summary>
    public int Priority { get; set; } = 1;

    public string Notes { get; set; } = "";
}

internal sealed class ProjectConfiguration : IEntityTypeConfiguration<Project>
{
    public void Configure(EntityTypeBuilder<Project> builder)
    {
        builder.ToTable("project");
        builder.Property(p => p.Id).ValueGeneratedNever();
        builder.Property(p => p.Name).HasMaxLength(150);
        builder.Property(p => p.Recipient).HasMaxLength(200);
        builder.Property(p => p.Description).HasMaxLength(4000);
        builder.Property(p => p.PublicName).HasMaxLength(60);
        builder.HasIndex(p => p.PublicName).IsUnique();
        builder.Property(p => p.Version).IsConcurrencyToken();
        builder.HasMany(p => p.Pieces).WithOne().HasForeignKey(w => w.ProjectId).OnDelete(DeleteBehavior.Cascade);
    }
}

internal sealed class WantedPieceConfiguration : IEntityTypeConfiguration<WantedPiece>
{
    public void Configure(EntityTypeBuilder<WantedPiece> builder)
    {
        builder.ToTable("wanted_piece", t =>
        {
            t.HasCheckConstraint("wanted_piece_positive", "wanted > 0");
            t.HasCheckConstraint("wanted_piece_priority", "priority between 1 and 1000");
        });
        builder.Property(p => p.Id).ValueGeneratedNever();
        builder.Property(p => p.Name).HasMaxLength(100);
        builder.Property(p => p.Notes).HasMaxLength(500);
        builder.Property(p => p.Priority).HasDefaultValue(1);
        builder.HasOne(p => p.Piece).WithMany().HasForeignKey(p => p.PieceId).OnDelete(DeleteBehavior.Restrict);
    }
}
