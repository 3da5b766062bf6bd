using GuildStash.Domain.Approvals;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Quarantine;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Guild;

/// <summary>The one guild of this database and its policies.</summary>
public sealed class GuildSettings
{
    public const int OnlyId = 1;

    public int Id { get; set; } = OnlyId;

    public required string Name { get; set; }

    public string Address { get; set; } = "";

    /// <summary>IANA zone in which times are shown and in which a day begins.</summary>
    public string TimeZone { get; set; } = "Europe/London";

    /// <summary>Culture for people who have not chosen one.</summary>
    public string Culture { get; set; } = "en-GB";

    public LengthUnit LengthUnit { get; set; } = LengthUnit.Yards;

    public QuarantinePolicy QuarantinePolicy { get; set; } = QuarantinePolicy.OnSignsOnly;

    /// <summary>Days until an unclaimed hold lapses, 1 to 365.</summary>
    public int HoldDays { get; set; } = 14;

    /// <summary>Days until yarn taken home is due back or reported used, 1 to 730.</summary>
    public int LoanDays { get; set; } = 60;

    /// <summary>Weighing error in grams that a hand-over of a whole lot may book as a difference without asking, 0 to 50.</summary>
    public int WeighingToleranceGrams { get; set; } = 5;

    /// <summary>A guild of one: the same person may confirm after a time. See <see cref="DelayedReview"/>.</summary>
    public bool DelayedReviewIsOn { get; set; }

    /// <summary>Hours between asking and confirming, 1 to 720.</summary>
    public int DelayedReviewHours { get; set; } = DelayedReview.UsualHours;

    /// <summary>Movements with a greater sequence are under the rule about write-offs; earlier ones were booked before it.</summary>
    public long SecondPersonFrom { get; set; }

    /// <summary>Movements with a greater sequence count together with those of lots that share their yarn, weights and leftovers included.</summary>
    public long SecondPersonTogetherFrom { get; set; }

    /// <summary>The guild's protocol for quarantine, see <see cref="QuarantineProtocol"/>; −80 to −10 °C.</summary>
    public decimal FreezerMaxCelsius { get; set; } = QuarantineProtocol.Usual.FreezerMaxCelsius;

    /// <summary>1 to 365 days.</summary>
    public int FreezerDays { get; set; } = QuarantineProtocol.Usual.FreezerDays;

    /// <summary>1 to 10 runs.</summary>
    public int FreezerCycles { get; set; } = QuarantineProtocol.Usual.FreezerCycles;

    /// <summary>Where temperature and days come from.</summary>
    public string FreezerSource { get; set; } = QuarantineProtocol.Usual.FreezerSource;

    /// <summary>10 to 730 days.</summary>
    public int ApartDays { get; set; } = QuarantineProtocol.Usual.ApartDays;

    /// <summary>What moisture may change in a counted mass, see <see cref="CountTolerance"/>; 0 to 50 per mille.</summary>
    public int CountMoisturePerMille { get; set; } = CountTolerance.UsualMoisturePerMille;

    /// <summary>Probability in percent with which each lot of a plan is as long as reckoned, 50 to 99.</summary>
    public int PlanSafetyPercent { get; set; } = 95;

    /// <summary>Whether everybody may see which yarn is wanted, without signing in.</summary>
    public bool WantedIsPublic { get; set; }

    public QuarantineProtocol Protocol => new(FreezerMaxCelsius, FreezerDays, FreezerCycles, FreezerSource, ApartDays);

    public DelayedReview DelayedReview => new(DelayedReviewIsOn, DelayedReviewHours);

    public int Version { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid? ChangedById { get; set; }
}

internal sealed class GuildSettingsConfiguration : IEntityTypeConfiguration<GuildSettings>
{
    public void Configure(EntityTypeBuilder<GuildSettings> builder)
    {
        builder.ToTable("guild", t =>
        {
            t.HasCheckConstraint("guild_is_one", "id = 1");
            t.HasCheckConstraint("guild_plan_safety", "plan_safety_percent between 50 and 99");
            t.HasCheckConstraint("guild_delayed_review_hours", "delayed_review_hours between 1 and 720");
        });
        builder.Property(g => g.Id).ValueGeneratedNever();
        builder.Property(g => g.Name).HasMaxLength(200);
        builder.Property(g => g.Address).HasMaxLength(1000);
        builder.Property(g => g.TimeZone).HasMaxLength(64);
        builder.Property(g => g.Culture).HasMaxLength(20);
        builder.Property(g => g.DelayedReviewHours).HasDefaultValue(DelayedReview.UsualHours);
        builder.Property(g => g.FreezerMaxCelsius).HasPrecision(5, 1).HasDefaultValue(QuarantineProtocol.Usual.FreezerMaxCelsius);
        builder.Property(g => g.PlanSafetyPercent).HasDefaultValue(95);
        builder.Property(g => g.FreezerDays).HasDefaultValue(QuarantineProtocol.Usual.FreezerDays);
        builder.Property(g => g.FreezerCycles).HasDefaultValue(QuarantineProtocol.Usual.FreezerCycles);
        builder.Property(g => g.FreezerSource).HasMaxLength(300).HasDefaultValue(QuarantineProtocol.Usual.FreezerSource);
        builder.Property(g => g.ApartDays).HasDefaultValue(QuarantineProtocol.Usual.ApartDays);
        builder.Property(g => g.CountMoisturePerMille).HasDefaultValue(CountTolerance.UsualMoisturePerMille);
        builder.Ignore(g => g.Protocol);
        builder.Ignore(g => g.DelayedReview);
        builder.Property(g => g.Version).IsConcurrencyToken();
    }
}
