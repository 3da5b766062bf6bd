using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Stock;

/// <summary>A room or house in which the guild keeps bins.</summary>
public sealed class Site
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public required string Name { get; set; }
}

/// <summary>What a bin is for.</summary>
public enum BinKind
{
    /// <summary>On an open shelf: yarn in it may be reserved.</summary>
    Shelf = 0,

    /// <summary>Kept apart: yarn in it can't be reserved.</summary>
    Quarantine = 1,

    /// <summary>Where sorted yarn lies until it has a bin.</summary>
    SortingTable = 2,
}

/// <summary>A place with a label for lots.</summary>
public sealed class Bin
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>Three characters and a check character, without hyphen.</summary>
    public required string Code { get; set; }

    public required string Name { get; set; }

    public BinKind Kind { get; set; }

    public Guid SiteId { get; set; }

    public Site Site { get; set; } = null!;

    /// <summary>Where to find it, for instance "shelf 2, left".</summary>
    public string Place { get; set; } = "";

    public decimal? Litres { get; set; }

    /// <summary>What the empty bin weighs; null where nobody weighed it.</summary>
    public long? TareMg { get; set; }

    /// <summary>Division of the scale that weighed it empty.</summary>
    public long? TareDivisionMg { get; set; }

    public string Notes { get; set; } = "";

    public DateTimeOffset? LastCountedAt { get; set; }

    public DateTimeOffset? ClosedAt { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid? CreatedById { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid? ChangedById { get; set; }

    public int Version { get; set; }

    public bool IsQuarantine => Kind == BinKind.Quarantine;
}

internal sealed class SiteConfiguration : IEntityTypeConfiguration<Site>
{
    public void Configure(EntityTypeBuilder<Site> builder)
    {
        builder.ToTable("site");
        builder.Property(s => s.Id).ValueGeneratedNever();
        builder.Property(s => s.Name).HasMaxLength(100);
        builder.HasIndex(s => s.Name).IsUnique();
    }
}

internal sealed class BinConfiguration : IEntityTypeConfiguration<Bin>
{
    public void Configure(EntityTypeBuilder<Bin> builder)
    {
        builder.ToTable("bin");
        builder.Property(b => b.Id).ValueGeneratedNever();
        builder.Property(b => b.Code).HasMaxLength(8);
        builder.HasIndex(b => b.Code).IsUnique();
        builder.Property(b => b.Name).HasMaxLength(100);
        builder.Property(b => b.Place).HasMaxLength(200);
        builder.Property(b => b.Litres).HasPrecision(8, 1);
        builder.Property(b => b.Notes).HasMaxLength(1000);
        builder.Property(b => b.Version).IsConcurrencyToken();
        builder.Ignore(b => b.IsQuarantine);
        builder.HasOne(b => b.Site).WithMany().HasForeignKey(b => b.SiteId).OnDelete(DeleteBehavior.Restrict);
    }
}
