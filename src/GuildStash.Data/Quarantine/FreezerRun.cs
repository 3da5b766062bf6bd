using GuildStash.Data.Intake;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using GuildStash.Domain.Quarantine;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Quarantine;

/// <summary>One stay of bags and lots in the freezer, with what was read and the protocol that it was judged by.</summary>
public sealed class FreezerRun
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>Which freezer, for instance "chest freezer in the cellar".</summary>
    public string Freezer { get; set; } = "";

    public DateTimeOffset InAt { get; set; }

    public Guid StartedById { get; set; }

    public DateTimeOffset? OutAt { get; set; }

    public decimal? ColdestCelsius { get; set; }

    /// <summary>Null: there was no thermometer.</summary>
    public decimal? WarmestCelsius { get; set; }

    public bool Opened { get; set; }

    public DateTimeOffset? ThawedAt { get; set; }

    /// <summary>When somebody inspected it and closed the run; null while it is in the freezer.</summary>
    public DateTimeOffset? FinishedAt { get; set; }

    public Guid? FinishedById { get; set; }

    /// <summary>What the inspector looked at and found.</summary>
    public string Result { get; set; } = "";

    /// <summary>Live insects or webbing were seen after it.</summary>
    public bool SignsSeen { get; set; }

    /// <summary>Null until it is finished; false is "below protocol".</summary>
    public bool? MeetsProtocol { get; set; }

    public decimal? ProtocolMaxCelsius { get; set; }

    public int? ProtocolDays { get; set; }

    public string ProtocolSource { get; set; } = "";

    public List<FreezerLoad> Loads { get; } = [];

    public FreezerReadings? Readings => OutAt is { } outAt ? new(InAt, outAt, ColdestCelsius, WarmestCelsius, Opened, ThawedAt) : null;
}

/// <summary>A bag or a lot in a freezer run.</summary>
public sealed class FreezerLoad
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid RunId { get; set; }

    public FreezerRun Run { get; set; } = null!;

    public Guid? BagId { get; set; }

    public Bag? Bag { get; set; }

    public Guid? LotId { get; set; }

    public Lot? Lot { get; set; }
}

internal sealed class FreezerRunConfiguration : IEntityTypeConfiguration<FreezerRun>
{
    public void Configure(EntityTypeBuilder<FreezerRun> builder)
    {
        builder.ToTable("freezer_run", t =>
        {
            t.HasCheckConstraint("freezer_run_finished_whole", "(finished_at is null) = (finished_by_id is null) and (finished_at is null) = (meets_protocol is null) and (finished_at is null or (out_at is not null and result <> ''))");
            t.HasCheckConstraint("freezer_run_out_after_in", "out_at is null or out_at > in_at");

            // "Treated" is never a word for what was too warm, too short, opened, not thawed or not read.
            t.HasCheckConstraint(
                "freezer_run_meets_what_it_says",
                "meets_protocol is null or not meets_protocol or (warmest_celsius is not null and protocol_max_celsius is not null and protocol_days is not null and warmest_celsius <= protocol_max_celsius "
                + "and not opened and thawed_at is not null and out_at >= in_at + protocol_days * interval '24 hours')");
        });
        builder.Property(r => r.Id).ValueGeneratedNever();
        builder.Property(r => r.Freezer).HasMaxLength(100);
        builder.Property(r => r.ColdestCelsius).HasPrecision(5, 1);
        builder.Property(r => r.WarmestCelsius).HasPrecision(5, 1);
        builder.Property(r => r.ProtocolMaxCelsius).HasPrecision(5, 1);
        builder.Property(r => r.Result).HasMaxLength(1000);
        builder.Property(r => r.ProtocolSource).HasMaxLength(300);
        builder.Ignore(r => r.Readings);
        builder.HasIndex(r => r.InAt).IsDescending();
        builder.HasOne<Person>().WithMany().HasForeignKey(r => r.StartedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(r => r.FinishedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasMany(r => r.Loads).WithOne(l => l.Run).HasForeignKey(l => l.RunId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class FreezerLoadConfiguration : IEntityTypeConfiguration<FreezerLoad>
{
    public void Configure(EntityTypeBuilder<FreezerLoad> builder)
    {
        builder.ToTable("freezer_load", t => t.HasCheckConstraint("freezer_load_is_one_thing", "(bag_id is null) <> (lot_id is null)"));
        builder.Property(l => l.Id).ValueGeneratedNever();
        builder.HasIndex(l => new { l.RunId, l.BagId, l.LotId }).IsUnique();
        builder.HasOne(l => l.Bag).WithMany().HasForeignKey(l => l.BagId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(l => l.Lot).WithMany().HasForeignKey(l => l.LotId).OnDelete(DeleteBehavior.Restrict);
    }
}
