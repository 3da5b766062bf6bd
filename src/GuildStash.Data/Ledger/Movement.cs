using GuildStash.Data.Approvals;
using GuildStash.Data.Counting;
using GuildStash.Data.Intake;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Ledger;

/// <summary>One entry of the books: grams taken from one place and given to another. Written once, never changed.</summary>
public sealed class Movement
{
    public Guid Id { get; private set; } = Guid.CreateVersion7();

    /// <summary>Order of writing.</summary>
    public long Sequence { get; private set; }

    public PlaceKind FromKind { get; private set; }

    public Guid? FromId { get; private set; }

    public PlaceKind ToKind { get; private set; }

    public Guid? ToId { get; private set; }

    public long Mg { get; private set; }

    public MovementReason Reason { get; private set; }

    public string Note { get; private set; } = "";

    /// <summary>Null for a bag's own movements.</summary>
    public Guid? LotId { get; private set; }

    public Guid BagId { get; private set; }

    public Guid? CheckoutId { get; private set; }

    /// <summary>The movement that this one takes back.</summary>
    public Guid? CorrectsId { get; private set; }

    /// <summary>The request under which it was booked, where a second person had to approve.</summary>
    public Guid? ApprovalId { get; private set; }

    /// <summary>The count that it books the difference of.</summary>
    public Guid? CountId { get; private set; }

    /// <summary>Division of the scale that it was weighed on; null where that was not noted.</summary>
    public long? ScaleDivisionMg { get; private set; }

    public DateTimeOffset At { get; private set; }

    public Guid ById { get; private set; }

    private Movement()
    {
    }

    /// <summary>An entry for a lot.</summary>
    public static Movement OfLot(
        MovementDraft draft, Lot lot, Guid by, DateTimeOffset at, string note = "", Guid? checkoutId = null, Guid? correctsId = null, Guid? approvalId = null, Guid? countId = null, long? scaleDivisionMg = null)
    {
        Movement movement = Of(draft, lot.BagId, lot.Id, by, at, note, checkoutId, correctsId, approvalId);
        (movement.CountId, movement.ScaleDivisionMg) = (countId, scaleDivisionMg);
        return movement;
    }

    /// <summary>An entry for what is in a bag and belongs to no lot.</summary>
    public static Movement OfBag(MovementDraft draft, Guid bagId, Guid by, DateTimeOffset at, string note = "", Guid? approvalId = null) =>
        Of(draft, bagId, null, by, at, note, null, null, approvalId);

    private static Movement Of(MovementDraft draft, Guid bagId, Guid? lotId, Guid by, DateTimeOffset at, string note, Guid? checkoutId, Guid? correctsId, Guid? approvalId) => new()
    {
        FromKind = draft.From.Kind,
        FromId = draft.From.Id,
        ToKind = draft.To.Kind,
        ToId = draft.To.Id,
        Mg = draft.Milligrams,
        Reason = draft.Reason,
        Note = note,
        LotId = lotId,
        BagId = bagId,
        CheckoutId = checkoutId,
        CorrectsId = correctsId,
        ApprovalId = approvalId,
        At = at,
        ById = by,
    };
}

internal sealed class MovementConfiguration : IEntityTypeConfiguration<Movement>
{
    public void Configure(EntityTypeBuilder<Movement> builder)
    {
        builder.ToTable("movement", t => t.HasCheckConstraint("movement_mass_positive", "mg > 0"));
        builder.Property(m => m.Id).ValueGeneratedNever();
        builder.Property(m => m.Sequence).UseIdentityAlwaysColumn();
        builder.HasIndex(m => m.Sequence).IsUnique();
        builder.Property(m => m.Note).HasMaxLength(1000);
        builder.HasIndex(m => new { m.LotId, m.Sequence });
        builder.HasIndex(m => new { m.BagId, m.Sequence });
        builder.HasIndex(m => m.CheckoutId);
        builder.HasOne<Lot>().WithMany().HasForeignKey(m => m.LotId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Bag>().WithMany().HasForeignKey(m => m.BagId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Checkout>().WithMany().HasForeignKey(m => m.CheckoutId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Movement>().WithMany().HasForeignKey(m => m.CorrectsId).OnDelete(DeleteBehavior.Restrict);
        builder.HasIndex(m => m.ApprovalId).HasFilter("approval_id is not null");
        builder.HasOne<Approval>().WithMany().HasForeignKey(m => m.ApprovalId).OnDelete(DeleteBehavior.Restrict);
        builder.HasIndex(m => m.CountId).HasFilter("count_id is not null");
        builder.HasOne<BinCount>().WithMany().HasForeignKey(m => m.CountId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(m => m.ById).OnDelete(DeleteBehavior.Restrict);
    }
}
