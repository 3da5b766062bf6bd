using GuildStash.Domain.Intake;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Intake;

/// <summary>One bag of a gift, as weighed at the door.</summary>
public sealed class Bag
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid DonationId { get; set; }

    public Donation Donation { get; set; } = null!;

    /// <summary>1 for the first bag of the gift.</summary>
    public int Ordinal { get; set; }

    public long GrossMg { get; set; }

    public long TareMg { get; set; }

    /// <summary>What the books still have in the bag; kept by the database from the movements. May go below zero by weighing error until the bag is closed.</summary>
    public long UnsortedMg { get; private set; }

    public Conditions Conditions { get; set; }

    /// <summary>Null: not kept apart (any more).</summary>
    public QuarantineReason? QuarantineReason { get; set; }

    /// <summary>Since when it is kept apart; null when it is not.</summary>
    public DateTimeOffset? QuarantinedAt { get; set; }

    public DateTimeOffset? InspectedAt { get; set; }

    public Guid? InspectedById { get; set; }

    public string InspectionNote { get; set; } = "";

    /// <summary>Sorted to the end, declined or thrown away.</summary>
    public DateTimeOffset? ClosedAt { get; set; }

    public Guid? ClosedById { get; set; }

    public int Version { get; set; }
}

internal sealed class BagConfiguration : IEntityTypeConfiguration<Bag>
{
    public void Configure(EntityTypeBuilder<Bag> builder)
    {
        builder.ToTable("bag", t =>
        {
            t.HasCheckConstraint("bag_net_positive", "gross_mg > tare_mg and tare_mg >= 0");
            t.HasCheckConstraint("bag_closed_is_empty", "closed_at is null or unsorted_mg = 0");
        });
        builder.Property(b => b.Id).ValueGeneratedNever();
        builder.HasIndex(b => new { b.DonationId, b.Ordinal }).IsUnique();
        builder.HasIndex(b => b.ClosedAt);
        builder.Property(b => b.UnsortedMg).KeptByTriggers();
        builder.Property(b => b.InspectionNote).HasMaxLength(1000);
        builder.Property(b => b.Version).IsConcurrencyToken();
    }
}
