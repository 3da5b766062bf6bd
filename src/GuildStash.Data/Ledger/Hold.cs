using GuildStash.Data.People;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Ledger;

/// <summary>A member's wish for yarn of one or several lots, handed over together on one pick-up slip.</summary>
public sealed class HoldRequest
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>For instance R-2026-0007.</summary>
    public required string Number { get; set; }

    public Guid MemberId { get; set; }

    public Person Member { get; set; } = null!;

    public Guid? ProjectId { get; set; }

    public Project? Project { get; set; }

    public string Note { get; set; } = "";

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public List<Hold> Holds { get; } = [];
}

public enum HoldState
{
    Active = 0,
    TakenHome = 1,
    Cancelled = 2,
    Lapsed = 3,
}

/// <summary>Grams of one lot promised to one member until a moment; after it they count as free, whether or not somebody has tidied up.</summary>
public sealed class Hold
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid RequestId { get; set; }

    public HoldRequest Request { get; set; } = null!;

    public Guid LotId { get; set; }

    public Lot Lot { get; set; } = null!;

    public long Mg { get; set; }

    /// <summary>What was asked for, when it was asked for in length.</summary>
    public double? WantedMetres { get; set; }

    public HoldState State { get; set; }

    public DateTimeOffset ExpiresAt { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public DateTimeOffset? EndedAt { get; set; }

    public Guid? EndedById { get; set; }
}

internal sealed class HoldRequestConfiguration : IEntityTypeConfiguration<HoldRequest>
{
    public void Configure(EntityTypeBuilder<HoldRequest> builder)
    {
        builder.ToTable("hold_request");
        builder.Property(r => r.Id).ValueGeneratedNever();
        builder.Property(r => r.Number).HasMaxLength(20);
        builder.HasIndex(r => r.Number).IsUnique();
        builder.Property(r => r.Note).HasMaxLength(500);
        builder.HasOne(r => r.Member).WithMany().HasForeignKey(r => r.MemberId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(r => r.Project).WithMany().HasForeignKey(r => r.ProjectId).OnDelete(DeleteBehavior.Restrict);
        builder.HasMany(r => r.Holds).WithOne(h => h.Request).HasForeignKey(h => h.RequestId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class HoldConfiguration : IEntityTypeConfiguration<Hold>
{
    public void Configure(EntityTypeBuilder<Hold> builder)
    {
        builder.ToTable("hold", t => t.HasCheckConstraint("hold_mass_positive", "mg > 0"));
        builder.Property(h => h.Id).ValueGeneratedNever();
        builder.HasIndex(h => new { h.LotId, h.State });
        builder.HasIndex(h => new { h.State, h.ExpiresAt });
        builder.HasOne(h => h.Lot).WithMany().HasForeignKey(h => h.LotId).OnDelete(DeleteBehavior.Restrict);
    }
}
