using GuildStash.Data.Approvals;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using GuildStash.Domain.Counting;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Counting;

/// <summary>
/// One stock count of a bin. While it is open the database lets nothing leave or enter the bin; afterwards it is the record of what the
/// books had, what was found, and what came of it. Masses are milligrams.
/// </summary>
public sealed class BinCount
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid BinId { get; set; }

    public Bin Bin { get; set; } = null!;

    public CountWay Way { get; set; }

    public CountOutcome Outcome { get; set; }

    public DateTimeOffset BegunAt { get; set; }

    public Guid BegunById { get; set; }

    /// <summary>By the database's clock; from then on the bin is not frozen any more.</summary>
    public DateTimeOffset LapsesAt { get; set; }

    public DateTimeOffset? EndedAt { get; set; }

    /// <summary>Null while it is open, and where it ran out.</summary>
    public Guid? EndedById { get; set; }

    public Guid? ScaleId { get; set; }

    /// <summary>Null: not noted.</summary>
    public long? ScaleDivisionMg { get; set; }

    /// <summary>Of the whole bin with its yarn.</summary>
    public long? GrossMg { get; set; }

    public long? TareMg { get; set; }

    /// <summary>Lots that the figures below are about.</summary>
    public int Lots { get; set; }

    public long? BookMg { get; set; }

    public long? FoundMg { get; set; }

    public long? ToleranceMg { get; set; }

    /// <summary>Variances in mg², kept for the sum of later counts.</summary>
    public double? BookVariance { get; set; }

    public double? FoundVariance { get; set; }

    public double? CountingVariance { get; set; }

    /// <summary>The request for a second person, where one was needed.</summary>
    public Guid? ApprovalId { get; set; }

    public List<BinCountLine> Lines { get; } = [];
}

/// <summary>One lot of a count: what the scale showed, and when the count is ended, what that means.</summary>
public sealed class BinCountLine
{
    public Guid CountId { get; set; }

    public BinCount Count { get; set; } = null!;

    public Guid LotId { get; set; }

    public Lot Lot { get; set; } = null!;

    /// <summary>0: it was not there.</summary>
    public long FoundMg { get; set; }

    public CountOutcome Outcome { get; set; }

    public long? BookMg { get; set; }

    public long? ToleranceMg { get; set; }

    public double? BookVariance { get; set; }

    public double? FoundVariance { get; set; }

    public double? CountingVariance { get; set; }

    /// <summary>What this lot's counts add up to.</summary>
    public long? DriftMg { get; set; }
}

internal sealed class BinCountConfiguration : IEntityTypeConfiguration<BinCount>
{
    public void Configure(EntityTypeBuilder<BinCount> builder)
    {
        builder.ToTable("bin_count", t =>
        {
            t.HasCheckConstraint("bin_count_open_or_ended", "(outcome = 'Counting') = (ended_at is null) and (ended_by_id is null or ended_at is not null)");
            t.HasCheckConstraint("bin_count_with_figures", "outcome in ('Counting', 'LeftOff', 'Lapsed') or (book_mg is not null and found_mg is not null and tolerance_mg is not null)");
        });
        builder.Property(c => c.Id).ValueGeneratedNever();

        // Of a bin one count runs at a time.
        builder.HasIndex(c => c.BinId).IsUnique().HasFilter("ended_at is null");
        builder.HasIndex(c => new { c.BinId, c.BegunAt }).IsDescending(false, true);
        builder.HasOne(c => c.Bin).WithMany().HasForeignKey(c => c.BinId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(c => c.BegunById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(c => c.EndedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Scale>().WithMany().HasForeignKey(c => c.ScaleId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Approval>().WithMany().HasForeignKey(c => c.ApprovalId).OnDelete(DeleteBehavior.Restrict);
        builder.HasMany(c => c.Lines).WithOne(l => l.Count).HasForeignKey(l => l.CountId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class BinCountLineConfiguration : IEntityTypeConfiguration<BinCountLine>
{
    public void Configure(EntityTypeBuilder<BinCountLine> builder)
    {
        builder.ToTable("bin_count_line", t => t.HasCheckConstraint("bin_count_line_found", "found_mg >= 0"));
        builder.HasKey(l => new { l.CountId, l.LotId });
        builder.HasIndex(l => l.LotId);
        builder.HasOne(l => l.Lot).WithMany().HasForeignKey(l => l.LotId).OnDelete(DeleteBehavior.Restrict);
    }
}
