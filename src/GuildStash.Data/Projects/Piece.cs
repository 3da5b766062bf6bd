using GuildStash.Data.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Projects;

/// <summary>A thing to make, and the yarn it takes: a line of the guild's piece book, which projects and plans refer to.</summary>
public sealed class Piece
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>Unique among the pieces in use, case ignored.</summary>
    public required string Name { get; set; }

    public PieceCraft Craft { get; set; }

    /// <summary>Brings the cautions about drawstrings, small parts and fibre.</summary>
    public bool ForInfants { get; set; }

    /// <summary>Working time of one piece; null where nobody knows.</summary>
    public int? Minutes { get; set; }

    public string Notes { get; set; } = "";

    public List<PiecePart> Parts { get; } = [];

    /// <summary>No longer offered; what refers to it stays.</summary>
    public DateTimeOffset? RetiredAt { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid ChangedById { get; set; }

    public int Version { get; set; }
}

/// <summary>A part of a piece: yarn of one kind. What it asks is what a plan's part asks.</summary>
public sealed class PiecePart
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid PieceId { get; set; }

    public int Position { get; set; }

    /// <summary>Unique within the piece, case ignored.</summary>
    public required string Name { get; set; }

    /// <summary>Metres of one strand; all three alike where only the safe figure is known.</summary>
    public double MetresLow { get; set; }

    public double MetresLikely { get; set; }

    /// <summary>What is planned with.</summary>
    public double MetresSafe { get; set; }

    /// <summary>How the length was found, with what was entered, as JSON; null where it was entered as such.</summary>
    public string? Reckoning { get; set; }

    public List<WeightClass> WeightClasses { get; set; } = [];

    /// <summary>Metres to 100 g that are taken, beside or instead of classes.</summary>
    public double? WindowLow { get; set; }

    public double? WindowHigh { get; set; }

    public int Strands { get; set; } = 1;

    /// <summary>As the JSON API writes it: any, oneLot, oneFamily, family:blue, palette:5, contrast:Body, match:Body.</summary>
    public string Colour { get; set; } = "any";

    /// <summary>A colour to come near to, #rrggbb.</summary>
    public string? ColourHex { get; set; }

    public RecipientRules Rules { get; set; }

    /// <summary>Codes of the fibres it may consist of; empty admits all.</summary>
    public List<string> OnlyFibres { get; set; } = [];

    /// <summary>Lots that one piece may take for this part: 1 allows no join.</summary>
    public int MaxLots { get; set; } = 1;

    public bool DyeLotsMayMix { get; set; } = true;
}

/// <summary>An edition of the guild's table of sizes; the newest counts, and without any the program's own.</summary>
public sealed class PieceSizeTable
{
    public int Id { get; set; }

    /// <summary>Lines as <see cref="PieceSizes.Parse"/> reads them.</summary>
    public required string Lines { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }
}

internal sealed class PieceConfiguration : IEntityTypeConfiguration<Piece>
{
    public void Configure(EntityTypeBuilder<Piece> builder)
    {
        builder.ToTable("piece", t => t.HasCheckConstraint("piece_minutes", "minutes is null or minutes > 0"));
        builder.Property(p => p.Id).ValueGeneratedNever();
        builder.Property(p => p.Name).HasMaxLength(100);
        builder.Property(p => p.Notes).HasMaxLength(2000);
        builder.Property(p => p.Version).IsConcurrencyToken();
        builder.HasMany(p => p.Parts).WithOne().HasForeignKey(p => p.PieceId).OnDelete(DeleteBehavior.Cascade);
        builder.HasOne<Person>().WithMany().HasForeignKey(p => p.CreatedById).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class PiecePartConfiguration : IEntityTypeConfiguration<PiecePart>
{
    public void Configure(EntityTypeBuilder<PiecePart> builder)
    {
        builder.ToTable("piece_part", t =>
        {
            t.HasCheckConstraint("piece_part_metres", "metres_low > 0 and metres_low <= metres_likely and metres_likely <= metres_safe");
            t.HasCheckConstraint("piece_part_strands", "strands > 0 and max_lots > 0");
        });
        builder.Property(p => p.Id).ValueGeneratedNever();
        builder.Property(p => p.Name).HasMaxLength(100);
        builder.Property(p => p.Reckoning).HasColumnType("jsonb");
        builder.Property(p => p.Colour).HasMaxLength(120);
        builder.Property(p => p.ColourHex).HasMaxLength(7);
        builder.PrimitiveCollection(p => p.WeightClasses).ElementType(e => e.HasConversion<string>());
    }
}

internal sealed class PieceSizeTableConfiguration : IEntityTypeConfiguration<PieceSizeTable>
{
    public void Configure(EntityTypeBuilder<PieceSizeTable> builder)
    {
        builder.ToTable("piece_size_table");
        builder.HasOne<Person>().WithMany().HasForeignKey(t => t.CreatedById).OnDelete(DeleteBehavior.Restrict);
    }
}
