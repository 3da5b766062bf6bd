using GuildStash.Data.People;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Ledger;

/// <summary>Yarn of one lot that a member took home against weight.</summary>
public sealed class Checkout
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid LotId { get; set; }

    public Lot Lot { get; set; } = null!;

    public Guid MemberId { get; set; }

    public Person Member { get; set; } = null!;

    public Guid? HoldId { get; set; }

    public Hold? Hold { get; set; }

    public Guid? ProjectId { get; set; }

    public Project? Project { get; set; }

    public long TakenMg { get; set; }

    /// <summary>Still at the member's home; kept by the database from the movements.</summary>
    public long AtHomeMg { get; private set; }

    public DateOnly DueOn { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid HandedOverById { get; set; }

    /// <summary>Used up, brought back or kept.</summary>
    public DateTimeOffset? ClosedAt { get; set; }

    public int Version { get; set; }
}

/// <summary>Leftovers brought back; free again only after they passed inspection.</summary>
public sealed class LotReturn
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid CheckoutId { get; set; }

    public Checkout Checkout { get; set; } = null!;

    public Guid LotId { get; set; }

    public Lot Lot { get; set; } = null!;

    public long Mg { get; set; }

    /// <summary>Null: nobody has looked at it yet.</summary>
    public Conditions? Conditions { get; set; }

    /// <summary>Quarantine bin in which it waits or waited; null when it was inspected on the spot.</summary>
    public Guid? QuarantineBinId { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid ReceivedById { get; set; }

    /// <summary>When it became free or was thrown away; null while it waits.</summary>
    public DateTimeOffset? SettledAt { get; set; }

    public Guid? SettledById { get; set; }

    public string InspectionNote { get; set; } = "";
}

internal sealed class CheckoutConfiguration : IEntityTypeConfiguration<Checkout>
{
    public void Configure(EntityTypeBuilder<Checkout> builder)
    {
        builder.ToTable("checkout", t =>
        {
            t.HasCheckConstraint("checkout_taken_positive", "taken_mg > 0");
            t.HasCheckConstraint("checkout_at_home_not_negative", "at_home_mg >= 0");
        });
        builder.Property(c => c.Id).ValueGeneratedNever();
        builder.Property(c => c.AtHomeMg).KeptByTriggers();
        builder.Property(c => c.Version).IsConcurrencyToken();
        builder.HasIndex(c => new { c.MemberId, c.ClosedAt });
        builder.HasIndex(c => c.HoldId).IsUnique();
        builder.HasIndex(c => c.DueOn).HasFilter("closed_at is null");
        builder.HasOne(c => c.Lot).WithMany().HasForeignKey(c => c.LotId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(c => c.Member).WithMany().HasForeignKey(c => c.MemberId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(c => c.Hold).WithMany().HasForeignKey(c => c.HoldId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(c => c.Project).WithMany().HasForeignKey(c => c.ProjectId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class LotReturnConfiguration : IEntityTypeConfiguration<LotReturn>
{
    public void Configure(EntityTypeBuilder<LotReturn> builder)
    {
        builder.ToTable("lot_return", t => t.HasCheckConstraint("lot_return_mass_positive", "mg > 0"));
        builder.Property(r => r.Id).ValueGeneratedNever();
        builder.Property(r => r.InspectionNote).HasMaxLength(1000);
        builder.HasIndex(r => r.CheckoutId);
        builder.HasIndex(r => r.LotId);
        builder.HasIndex(r => r.SettledAt).HasFilter("settled_at is null");
        builder.HasOne(r => r.Checkout).WithMany().HasForeignKey(r => r.CheckoutId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(r => r.Lot).WithMany().HasForeignKey(r => r.LotId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Bin>().WithMany().HasForeignKey(r => r.QuarantineBinId).OnDelete(DeleteBehavior.Restrict);
    }
}
