using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Guild;

/// <summary>What the guild decided about how length is told, and what its room has learnt of it; one row.</summary>
public sealed class YardageSettings
{
    public const int OnlyId = 1;

    /// <summary>The one row as it is before anybody changed it: the standard table, nothing learnt is used, masses count as weighed.</summary>
    public const string Create =
        """
        insert into yardage (id, use_learnt, learnt_for_names, strands, version, stamp, edition, learnt_table, learnt_sums, edition_sums, learnt_lots)
        values (1, false, false, '{"dk 2 bulky"}', 0, 0, 0, '', '{}', '{}', 0);
        """;

    public int Id { get; set; } = OnlyId;

    public bool UseLearnt { get; set; }

    public bool LearntForNames { get; set; }

    /// <summary>Only lots logged after this moment teach; null for all.</summary>
    public DateTimeOffset? LearnSince { get; set; }

    /// <summary>Strands that stand in for a thicker yarn, each as "dk 2 bulky".</summary>
    public List<string> Strands { get; set; } = ["dk 2 bulky"];

    /// <summary>Regain of yarn as it lies in the room, in % of its dry mass; null where masses count as weighed.</summary>
    public decimal? AnimalRegain { get; set; }

    public decimal? PlantRegain { get; set; }

    public decimal? SyntheticRegain { get; set; }

    /// <summary>The part of a class's variance that all lots resting on it share, 0 to 1.</summary>
    public decimal SharedPart { get; set; } = 0.5m;

    /// <summary>How far the scale of all lots may be off, as a standard deviation in %; 0 takes it as true.</summary>
    public decimal ScaleErrorPercent { get; set; }

    /// <summary>Counts what people change, so that two don't overwrite each other.</summary>
    public int Version { get; set; }

    public DateTimeOffset? ChangedAt { get; set; }

    public Guid? ChangedById { get; set; }

    /// <summary>Counts every change of this row and of the table of classes; whoever keeps a copy compares it.</summary>
    public long Stamp { get; set; }

    /// <summary>Counts the changes after which lots are computed anew; a lot keeps that of its figures.</summary>
    public int Edition { get; set; }

    /// <summary>Name of the table that the sums were learnt with.</summary>
    public string LearntTable { get; set; } = "";

    /// <summary>The sums over all lots that teach, seven numbers for each group of fibres; empty before the first time.</summary>
    public List<double> LearntSums { get; set; } = [];

    /// <summary>The same as they were when all lots were last computed.</summary>
    public List<double> EditionSums { get; set; } = [];

    /// <summary>How many lots teach, and the last change of any of them: tells whether to learn anew.</summary>
    public int LearntLots { get; set; }

    public DateTimeOffset? LearntUpTo { get; set; }
}

/// <summary>A table of weight classes that the guild put into force; the newest is the one in force.</summary>
public sealed class GuildWeightClassTable
{
    public int Id { get; set; }

    /// <summary>Name that is stored with every figure.</summary>
    public required string Name { get; set; }

    /// <summary>The table that comes with the program, which has no rows here.</summary>
    public bool IsStandard { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public List<GuildWeightClassRow> Rows { get; set; } = [];
}

/// <summary>One class of a guild's table; see <see cref="Domain.WeightClasses.WeightClassRow"/>.</summary>
public sealed class GuildWeightClassRow
{
    public int TableId { get; set; }

    public Domain.WeightClasses.WeightClass WeightClass { get; set; }

    public double MetresPer100gLow { get; set; }

    public double MetresPer100gHigh { get; set; }

    public double WrapsAbove { get; set; }

    /// <summary>Null for the finest class, which has no upper end.</summary>
    public double? WrapsUpTo { get; set; }
}

internal sealed class YardageSettingsConfiguration : IEntityTypeConfiguration<YardageSettings>
{
    public void Configure(EntityTypeBuilder<YardageSettings> builder)
    {
        builder.ToTable("yardage", t => t.HasCheckConstraint("yardage_is_one", "id = 1"));
        builder.Property(y => y.Id).ValueGeneratedNever();
        builder.Property(y => y.LearntTable).HasMaxLength(40);
    }
}

internal sealed class GuildWeightClassTableConfiguration : IEntityTypeConfiguration<GuildWeightClassTable>
{
    public void Configure(EntityTypeBuilder<GuildWeightClassTable> builder)
    {
        builder.ToTable("weight_class_table");
        builder.Property(t => t.Name).HasMaxLength(40);
        builder.HasIndex(t => t.Name).IsUnique().HasFilter("not is_standard");
        builder.HasMany(t => t.Rows).WithOne().HasForeignKey(r => r.TableId).OnDelete(DeleteBehavior.Cascade);
        builder.HasOne<People.Person>().WithMany().HasForeignKey(t => t.CreatedById).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class GuildWeightClassRowConfiguration : IEntityTypeConfiguration<GuildWeightClassRow>
{
    public void Configure(EntityTypeBuilder<GuildWeightClassRow> builder)
    {
        builder.ToTable("weight_class_row");
        builder.HasKey(r => new { r.TableId, r.WeightClass });
    }
}
