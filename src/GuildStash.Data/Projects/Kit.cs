using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Domain.Projects;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Projects;

/// <summary>
/// Yarn put together for one piece, or for some alike. Its yarn is held by a request like any other, so that holds, hand-over and returns
/// work for it as they do elsewhere; whose the request is has the kit.
/// </summary>
public sealed class Kit
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>For instance K-2026-0007.</summary>
    public required string Number { get; set; }

    public Guid RequestId { get; set; }

    public HoldRequest Request { get; set; } = null!;

    public Guid? PlanId { get; set; }

    /// <summary>Copied from the request, so that kits of a project are found without a join.</summary>
    public Guid? ProjectId { get; set; }

    public Guid? WantedPieceId { get; set; }

    public Guid? PieceId { get; set; }

    /// <summary>As it was named when the kit was made.</summary>
    public required string PieceName { get; set; }

    /// <summary>How many pieces it suffices for.</summary>
    public int Pieces { get; set; } = 1;

    public List<KitLine> Lines { get; } = [];

    /// <summary>Everything is weighed out and lies together.</summary>
    public DateTimeOffset? PackedAt { get; set; }

    public Guid? PackedById { get; set; }

    /// <summary>
    /// When somebody was found who makes it; null: nobody yet, and the request stands in the name of whoever put the kit together. A plan
    /// for one member needs none: its kits are that member's from the start.
    /// </summary>
    public DateTimeOffset? GivenAt { get; set; }

    /// <summary>When its yarn was put back; what is at home by then stays there.</summary>
    public DateTimeOffset? ReleasedAt { get; set; }

    public Guid? ReleasedById { get; set; }

    public string ReleaseReason { get; set; } = "";

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public int Version { get; set; }
}

/// <summary>Yarn of one lot for one part of a kit.</summary>
public sealed class KitLine
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid KitId { get; set; }

    /// <summary>The hold that keeps it; it has the weighed mass once the line is weighed.</summary>
    public Guid HoldId { get; set; }

    public Hold Hold { get; set; } = null!;

    public int Position { get; set; }

    /// <summary>Of the piece.</summary>
    public required string Part { get; set; }

    public long PlannedMg { get; set; }

    /// <summary>Of all strands together, at the plan's safety.</summary>
    public double Metres { get; set; }

    /// <summary>Ticked on the pick list: it lies on the table.</summary>
    public DateTimeOffset? PickedAt { get; set; }

    public Guid? PickedById { get; set; }

    /// <summary>Null: not weighed out yet.</summary>
    public long? WeighedMg { get; set; }

    public long? ScaleDivisionMg { get; set; }

    public DateTimeOffset? WeighedAt { get; set; }

    public Guid? WeighedById { get; set; }
}

/// <summary>
/// Some pieces were started, finished or handed to the recipient. Records are kept; a wrong one is taken back by its opposite, which names it.
/// </summary>
public sealed class PieceRecord
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid? ProjectId { get; set; }

    public Guid? WantedPieceId { get; set; }

    public Guid? PieceId { get; set; }

    public Guid? KitId { get; set; }

    /// <summary>As it was named then.</summary>
    public required string PieceName { get; set; }

    public PieceStep Step { get; set; }

    /// <summary>How many; negative where a record is taken back.</summary>
    public int Pieces { get; set; }

    /// <summary>Yarn that all of them took together, of finished pieces; null where nobody weighed it.</summary>
    public long? UsedMg { get; set; }

    /// <summary>Day by the guild's calendar.</summary>
    public DateOnly On { get; set; }

    /// <summary>Who made them; null where nobody says.</summary>
    public Guid? MakerId { get; set; }

    public string Note { get; set; } = "";

    /// <summary>The record that this one takes back.</summary>
    public Guid? TakesBackId { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }
}

internal sealed class KitConfiguration : IEntityTypeConfiguration<Kit>
{
    public void Configure(EntityTypeBuilder<Kit> builder)
    {
        builder.ToTable("kit", t =>
        {
            t.HasCheckConstraint("kit_pieces_positive", "pieces > 0");
            t.HasCheckConstraint("kit_released", "(released_at is null) = (released_by_id is null)");
        });
        builder.Property(k => k.Id).ValueGeneratedNever();
        builder.Property(k => k.Number).HasMaxLength(20);
        builder.HasIndex(k => k.Number).IsUnique();
        builder.HasIndex(k => k.RequestId).IsUnique();
        builder.HasIndex(k => k.CreatedAt);
        builder.Property(k => k.PieceName).HasMaxLength(100);
        builder.Property(k => k.ReleaseReason).HasMaxLength(500);
        builder.Property(k => k.Version).IsConcurrencyToken();
        builder.HasOne(k => k.Request).WithMany().HasForeignKey(k => k.RequestId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Plan>().WithMany().HasForeignKey(k => k.PlanId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Project>().WithMany().HasForeignKey(k => k.ProjectId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<WantedPiece>().WithMany().HasForeignKey(k => k.WantedPieceId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Piece>().WithMany().HasForeignKey(k => k.PieceId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(k => k.PackedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(k => k.ReleasedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(k => k.CreatedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasMany(k => k.Lines).WithOne().HasForeignKey(l => l.KitId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class KitLineConfiguration : IEntityTypeConfiguration<KitLine>
{
    public void Configure(EntityTypeBuilder<KitLine> builder)
    {
        builder.ToTable("kit_line", t =>
        {
            t.HasCheckConstraint("kit_line_planned", "planned_mg > 0");
            t.HasCheckConstraint("kit_line_weighed", "weighed_mg is null or weighed_mg > 0");
        });
        builder.Property(l => l.Id).ValueGeneratedNever();
        builder.Property(l => l.Part).HasMaxLength(100);
        builder.HasIndex(l => l.HoldId).IsUnique();
        builder.HasOne(l => l.Hold).WithMany().HasForeignKey(l => l.HoldId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(l => l.WeighedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(l => l.PickedById).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class PieceRecordConfiguration : IEntityTypeConfiguration<PieceRecord>
{
    public void Configure(EntityTypeBuilder<PieceRecord> builder)
    {
        builder.ToTable("piece_record", t =>
        {
            t.HasCheckConstraint("piece_record_taken_back", "(pieces > 0 and takes_back_id is null) or (pieces < 0 and takes_back_id is not null)");
            t.HasCheckConstraint("piece_record_used", "used_mg is null or step = 'Finished'");
        });
        builder.Property(r => r.Id).ValueGeneratedNever();
        builder.Property(r => r.PieceName).HasMaxLength(100);
        builder.Property(r => r.Note).HasMaxLength(500);
        builder.HasIndex(r => new { r.ProjectId, r.Step });
        builder.HasIndex(r => r.TakesBackId).IsUnique();
        builder.HasIndex(r => r.On);
        builder.HasOne<Project>().WithMany().HasForeignKey(r => r.ProjectId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<WantedPiece>().WithMany().HasForeignKey(r => r.WantedPieceId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Piece>().WithMany().HasForeignKey(r => r.PieceId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Kit>().WithMany().HasForeignKey(r => r.KitId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<PieceRecord>().WithMany().HasForeignKey(r => r.TakesBackId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(r => r.MakerId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(r => r.CreatedById).OnDelete(DeleteBehavior.Restrict);
    }
}
