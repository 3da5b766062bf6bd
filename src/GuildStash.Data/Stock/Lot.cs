using GuildStash.Data.Approvals;
using GuildStash.Data.Intake;
using GuildStash.Data.People;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Stock;

/// <summary>
/// Yarn that is alike and lies together: one ball or several of the same kind. It keeps the evidence it was measured with and the
/// versions of table and model, so that its figures can be computed again.
/// </summary>
public sealed class Lot
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>Six characters and a check character, without hyphen.</summary>
    public required string Code { get; set; }

    public Guid BagId { get; set; }

    public Bag Bag { get; set; } = null!;

    /// <summary>Copied from the bag so that lots of a gift are found without a join.</summary>
    public Guid DonationId { get; set; }

    public Donation Donation { get; set; } = null!;

    /// <summary>Where the lot lies; returns that wait for inspection lie in a quarantine bin meanwhile.</summary>
    public Guid BinId { get; set; }

    public Bin Bin { get; set; } = null!;

    public PutUp PutUp { get; set; }

    /// <summary>How many balls, skeins, … of this put-up the lot had when it was sorted.</summary>
    public int Count { get; set; } = 1;

    public Softness Softness { get; set; }

    public Tristate MachineWashable { get; set; }

    public string CareNotes { get; set; } = "";

    /// <summary>°C, the warmest water its band allows; null where the band does not say or says not to wash it.</summary>
    public int? MaxCelsius { get; set; }

    public ColourFamily? ColourFamily { get; set; }

    /// <summary>#rrggbb in lower case.</summary>
    public string? ColourHex { get; set; }

    public string DyeLot { get; set; } = "";

    public bool Multicolour { get; set; }

    public Conditions Conditions { get; set; }

    public string Notes { get; set; } = "";

    public List<string> FibreCodes { get; set; } = [];

    /// <summary>Beside each code its percent, or empty where no percentages are known.</summary>
    public List<decimal> FibrePercents { get; set; } = [];

    public FibreBasis FibreBasis { get; set; }

    // Evidence

    public bool MassKnown { get; set; }

    public long? ScaleDivisionMg { get; set; }

    /// <summary>Everything in its mass was weighed on scales that are verified for trade.</summary>
    public bool WeighedForTrade { get; set; }

    /// <summary>Mass of the cone's core that was taken off the weighing, if any.</summary>
    public long? CoreTareMg { get; set; }

    /// <summary>Balls with their band on: each has the band's length. Null where there are none.</summary>
    public int? SealedBalls { get; set; }

    /// <summary>What those balls are of the lot's mass: by the band's grams, or by a weighing since. Null where it is by the band's grams.</summary>
    public long? SealedMg { get; set; }

    /// <summary>What was loose beside them then; null where all that is more than the balls is loose.</summary>
    public long? LooseMg { get; set; }

    public WeightClass? AssertedClass { get; set; }

    public decimal? WrapsCount { get; set; }

    public decimal? WrapsInches { get; set; }

    public List<decimal> WrapsRepeats { get; set; } = [];

    public double? BandMetres { get; set; }

    public long? BandMg { get; set; }

    public Texture Texture { get; set; }

    /// <summary>A piece that was measured and weighed.</summary>
    public double? SampleMetres { get; set; }

    public long? SampleMg { get; set; }

    public long? SampleDivisionMg { get; set; }

    /// <summary>Its length is right within ± this; null: within 1 %.</summary>
    public double? SampleErrorMetres { get; set; }

    /// <summary>Its mass is the difference of two readings.</summary>
    public bool SampleIsDifference { get; set; }

    /// <summary>A count as typed, for instance "Nm 2/28"; empty where none is known.</summary>
    public string YarnCount { get; set; } = "";

    /// <summary>The count before the plies is of the whole yarn, as for spun silk.</summary>
    public bool CountIsResultant { get; set; }

    /// <summary>Metres in 100 g that a band's name of thickness stands for, about; null for none.</summary>
    public double? NamedMetresPer100g { get; set; }

    public decimal? GaugeStitches { get; set; }

    /// <summary>Width over which the stitches were counted.</summary>
    public decimal? GaugeCm { get; set; }

    // Figures computed from the evidence

    public WeightClass? WeightClass { get; set; }

    public double? MetresPer100gLow { get; set; }

    public double? MetresPer100gLikely { get; set; }

    public double? MetresPer100gHigh { get; set; }

    /// <summary>Mean, and what of it is unsure with the whole class and alone: the parts of totals, see <see cref="LengthMoments"/>.</summary>
    public double? MetresPer100gMean { get; set; }

    public double? LengthSharedSd { get; set; }

    public double? LengthOwnVariance { get; set; }

    public EstimateBasis EstimateBasis { get; set; }

    public string ModelVersion { get; set; } = "";

    public string TableVersion { get; set; } = "";

    /// <summary>The guild's rules that the figures were computed with; see <see cref="Guild.YardageSettings.Edition"/>.</summary>
    public int YardageEdition { get; set; }

    // Balances, kept by the database from movements and holds

    /// <summary>In the room, quarantine included.</summary>
    public long OnHandMg { get; private set; }

    public long QuarantinedMg { get; private set; }

    public long HeldMg { get; private set; }

    // Lengths of the balances in metres, kept by the database; see LotLengths

    /// <summary>Mean of what lies in open bins, reserved yarn included; 0 where its length is not known, as of all that follow.</summary>
    public double ShelfMetres { get; private set; }

    /// <summary>Variance of <see cref="ShelfMetres"/> that is the lot's own, its weighing included.</summary>
    public double ShelfOwnVariance { get; private set; }

    /// <summary>What of it may be promised, with the weighing error at its 95 % point.</summary>
    public double ShelfMetresLow { get; private set; }

    /// <summary>Mean of what nobody has reserved.</summary>
    public double FreeMetres { get; private set; }

    public double FreeOwnVariance { get; private set; }

    public double FreeMetresLow { get; private set; }

    /// <summary>What nobody has reserved by the low figure per 100 g alone; 0 for a lot that nobody weighed.</summary>
    public double FreeMetresByLow { get; private set; }

    public QuarantineReason? QuarantineReason { get; set; }

    /// <summary>Since when it is kept apart, its bag's time included; null when it is not.</summary>
    public DateTimeOffset? QuarantinedAt { get; set; }

    /// <summary>Requests for a second person that are or were about this lot.</summary>
    public List<ApprovalLot> Approvals { get; } = [];

    /// <summary>Nothing of it is in the room any more and none will come back.</summary>
    public DateTimeOffset? ClosedAt { get; set; }

    /// <summary>The lot into which all of this one went: its label means that lot now. A merged lot stays closed.</summary>
    public Guid? MergedIntoId { get; set; }

    public Lot? MergedInto { get; set; }

    /// <summary>Code, dye lot, number of the donation and notes in lower case, for searches; see <see cref="LotWords"/>.</summary>
    public string Words { get; private set; } = "";

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid ChangedById { get; set; }

    public int Version { get; set; }
}

internal sealed class LotConfiguration : IEntityTypeConfiguration<Lot>
{
    public void Configure(EntityTypeBuilder<Lot> builder)
    {
        builder.ToTable("lot", t =>
        {
            t.HasCheckConstraint("lot_on_hand_not_negative", "on_hand_mg >= 0");
            t.HasCheckConstraint("lot_quarantined_within_on_hand", "quarantined_mg >= 0 and quarantined_mg <= on_hand_mg");
            t.HasCheckConstraint("lot_held_within_free", "held_mg >= 0 and held_mg + quarantined_mg <= on_hand_mg");
            t.HasCheckConstraint("lot_closed_is_empty", "closed_at is null or on_hand_mg = 0");
            t.HasCheckConstraint("lot_merged_is_closed", "merged_into_id is null or (closed_at is not null and merged_into_id <> id)");
        });
        builder.Property(l => l.Id).ValueGeneratedNever();
        builder.Property(l => l.Code).HasMaxLength(12);
        builder.HasIndex(l => l.Code).IsUnique();
        builder.Property(l => l.CareNotes).HasMaxLength(500);
        builder.Property(l => l.ColourHex).HasMaxLength(7);
        builder.Property(l => l.DyeLot).HasMaxLength(60);
        builder.Property(l => l.Notes).HasMaxLength(2000);
        builder.Property(l => l.YarnCount).HasMaxLength(40);
        builder.Property(l => l.ModelVersion).HasMaxLength(40);
        builder.Property(l => l.TableVersion).HasMaxLength(40);
        builder.Property(l => l.OnHandMg).KeptByTriggers();
        builder.Property(l => l.QuarantinedMg).KeptByTriggers();
        builder.Property(l => l.HeldMg).KeptByTriggers();
        builder.Property(l => l.Words).KeptByTriggers();
        builder.Property(l => l.Version).IsConcurrencyToken();
        builder.HasIndex(l => l.BinId);
        builder.HasIndex(l => l.BagId);
        builder.HasIndex(l => l.DonationId);
        LotLengths.Configure(builder);
        // The usual list is the newest first; without it every page sorts the whole room.
        builder.HasIndex(l => new { l.CreatedAt, l.Id }).IsDescending().HasFilter("closed_at is null");
        builder.HasIndex(l => l.FibreCodes).HasMethod("gin");
        builder.HasIndex(l => l.Words).HasMethod("gin").HasOperators("gin_trgm_ops");
        builder.HasOne(l => l.Bag).WithMany().HasForeignKey(l => l.BagId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(l => l.Donation).WithMany().HasForeignKey(l => l.DonationId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(l => l.Bin).WithMany().HasForeignKey(l => l.BinId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(l => l.MergedInto).WithMany().HasForeignKey(l => l.MergedIntoId).OnDelete(DeleteBehavior.Restrict);
        builder.HasIndex(l => l.MergedIntoId).HasFilter("merged_into_id is not null");
        builder.HasOne<Person>().WithMany().HasForeignKey(l => l.CreatedById).OnDelete(DeleteBehavior.Restrict);
    }
}
