using GuildStash.Data.Approvals;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Ledger;

/// <summary>Why grams changed their lot.</summary>
public enum LotTransferKind
{
    /// <summary>Part of a lot became a lot of its own.</summary>
    Split = 0,

    /// <summary>All of a lot went into another one.</summary>
    Merge = 1,

    /// <summary>A split was entered by mistake.</summary>
    SplitUndone = 2,
}

/// <summary>
/// Grams that changed their lot without leaving the room. It is booked by two movements through the place of its key: one out of the lot
/// they left, one into the lot they came to. Written once, as movements are.
/// </summary>
public sealed class LotTransfer
{
    public Guid Id { get; private set; } = Guid.CreateVersion7();

    public LotTransferKind Kind { get; init; }

    public Guid FromLotId { get; init; }

    public Guid ToLotId { get; init; }

    public long Mg { get; init; }

    /// <summary>Whole balls that went along; 0 where a part of one did.</summary>
    public int Balls { get; init; }

    /// <summary>The split that this one takes back.</summary>
    public Guid? UndoesId { get; init; }

    /// <summary>The request under which it was booked; merges always have one.</summary>
    public Guid? ApprovalId { get; init; }

    public DateTimeOffset At { get; init; }

    public Guid ById { get; init; }
}

internal sealed class LotTransferConfiguration : IEntityTypeConfiguration<LotTransfer>
{
    public void Configure(EntityTypeBuilder<LotTransfer> builder)
    {
        builder.ToTable("lot_transfer", t =>
        {
            t.HasCheckConstraint("lot_transfer_mass_positive", "mg > 0");
            t.HasCheckConstraint("lot_transfer_between_two_lots", "from_lot_id <> to_lot_id");
            t.HasCheckConstraint("lot_transfer_merge_is_approved", "(kind = 'Merge') = (approval_id is not null)");
            t.HasCheckConstraint("lot_transfer_undoes_a_split", "(kind = 'SplitUndone') = (undoes_id is not null)");
        });
        builder.Property(t => t.Id).ValueGeneratedNever();
        builder.HasIndex(t => t.FromLotId);
        builder.HasIndex(t => t.ToLotId);
        builder.HasIndex(t => t.UndoesId).IsUnique().HasFilter("undoes_id is not null");
        builder.HasOne<Lot>().WithMany().HasForeignKey(t => t.FromLotId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Lot>().WithMany().HasForeignKey(t => t.ToLotId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<LotTransfer>().WithMany().HasForeignKey(t => t.UndoesId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Approval>().WithMany().HasForeignKey(t => t.ApprovalId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(t => t.ById).OnDelete(DeleteBehavior.Restrict);
    }
}
