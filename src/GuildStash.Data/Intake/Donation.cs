using GuildStash.Data.People;
using GuildStash.Domain.Intake;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Intake;

/// <summary>One gift as it came through the door, with its bags.</summary>
public sealed class Donation
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>For instance D-2026-0042.</summary>
    public required string Number { get; set; }

    public IntakeKind Kind { get; set; }

    public IntakeDecision Decision { get; set; }

    public string DecisionReason { get; set; } = "";

    /// <summary>Day in the guild's zone.</summary>
    public DateOnly ReceivedOn { get; set; }

    /// <summary>Null: the donor wished no name.</summary>
    public Guid? DonorId { get; set; }

    public Donor? Donor { get; set; }

    /// <summary>What the donor wished for the yarn; shown on every lot of it.</summary>
    public string Wishes { get; set; } = "";

    public string Notes { get; set; } = "";

    public List<Bag> Bags { get; } = [];

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid ChangedById { get; set; }

    public int Version { get; set; }
}

internal sealed class DonationConfiguration : IEntityTypeConfiguration<Donation>
{
    public void Configure(EntityTypeBuilder<Donation> builder)
    {
        builder.ToTable("donation");
        builder.Property(d => d.Id).ValueGeneratedNever();
        builder.Property(d => d.Number).HasMaxLength(20);
        builder.HasIndex(d => d.Number).IsUnique();
        builder.HasIndex(d => d.ReceivedOn);
        builder.Property(d => d.DecisionReason).HasMaxLength(500);
        builder.Property(d => d.Wishes).HasMaxLength(1000);
        builder.Property(d => d.Notes).HasMaxLength(4000);
        builder.Property(d => d.Version).IsConcurrencyToken();
        builder.HasOne(d => d.Donor).WithMany().HasForeignKey(d => d.DonorId).OnDelete(DeleteBehavior.Restrict);
        builder.HasMany(d => d.Bags).WithOne(b => b.Donation).HasForeignKey(b => b.DonationId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(d => d.CreatedById).OnDelete(DeleteBehavior.Restrict);
    }
}
