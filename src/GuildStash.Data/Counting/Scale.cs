using GuildStash.Data.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Counting;

/// <summary>A scale of the room.</summary>
public sealed class Scale
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public required string Name { get; set; }

    /// <summary>Its smallest step, milligrams.</summary>
    public long DivisionMg { get; set; }

    /// <summary>The most it weighs, milligrams; null where nobody knows.</summary>
    public long? CapacityMg { get; set; }

    /// <summary>Verified for trade by whoever does that where the guild is.</summary>
    public bool IsVerified { get; set; }

    public string Notes { get; set; } = "";

    /// <summary>Since then nobody weighs on it.</summary>
    public DateTimeOffset? RetiredAt { get; set; }

    public List<ScaleCheck> Checks { get; } = [];

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid ChangedById { get; set; }

    public int Version { get; set; }
}

/// <summary>What a scale showed for a known mass.</summary>
public sealed class ScaleCheck
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid ScaleId { get; set; }

    public Scale Scale { get; set; } = null!;

    public long NominalMg { get; set; }

    public long ShownMg { get; set; }

    /// <summary>The scale's division at that time.</summary>
    public long DivisionMg { get; set; }

    public DateTimeOffset At { get; set; }

    public Guid ById { get; set; }
}

internal sealed class ScaleConfiguration : IEntityTypeConfiguration<Scale>
{
    public void Configure(EntityTypeBuilder<Scale> builder)
    {
        builder.ToTable("scale", t => t.HasCheckConstraint("scale_division_positive", "division_mg > 0 and (capacity_mg is null or capacity_mg > division_mg)"));
        builder.Property(s => s.Id).ValueGeneratedNever();
        builder.Property(s => s.Name).HasMaxLength(100);
        builder.Property(s => s.Notes).HasMaxLength(1000);
        builder.Property(s => s.Version).IsConcurrencyToken();
        builder.HasIndex(s => s.Name).IsUnique();
        builder.HasOne<Person>().WithMany().HasForeignKey(s => s.CreatedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasMany(s => s.Checks).WithOne(c => c.Scale).HasForeignKey(c => c.ScaleId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class ScaleCheckConfiguration : IEntityTypeConfiguration<ScaleCheck>
{
    public void Configure(EntityTypeBuilder<ScaleCheck> builder)
    {
        builder.ToTable("scale_check", t => t.HasCheckConstraint("scale_check_masses", "nominal_mg > 0 and shown_mg >= 0 and division_mg > 0"));
        builder.Property(c => c.Id).ValueGeneratedNever();
        builder.HasIndex(c => new { c.ScaleId, c.At });
        builder.HasOne<Person>().WithMany().HasForeignKey(c => c.ById).OnDelete(DeleteBehavior.Restrict);
    }
}
