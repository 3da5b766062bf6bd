using System.Text.Json;
using GuildStash.Data.Intake;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Approvals;

/// <summary>
/// One request for a second person: what it would do, who asked, and how it was settled. Nothing moves in the books before it is
/// approved. The database refuses a second person who is the first.
/// </summary>
public sealed class Approval
{
    private static readonly JsonSerializerOptions Kept = new(JsonSerializerDefaults.Web);

    public Guid Id { get; set; } = Guid.CreateVersion7();

    public ApprovalKind Kind { get; set; }

    public ApprovalState State { get; set; }

    /// <summary>What it would do, as the record of its kind in JSON; see <see cref="Read"/>.</summary>
    public string Payload { get; private set; } = "{}";

    /// <summary>What it is about, for people: a lot's code in groups, or a bag's number.</summary>
    public required string Subject { get; set; }

    /// <summary>Milligrams that it is about, for lists.</summary>
    public long Mg { get; set; }

    /// <summary>Where it is about a bag.</summary>
    public Guid? BagId { get; set; }

    /// <summary>Where it is about a bin, as a stock count is.</summary>
    public Guid? BinId { get; set; }

    /// <summary>The lots that it is about; each shows that it waits.</summary>
    public List<ApprovalLot> Lots { get; } = [];

    public DateTimeOffset AskedAt { get; set; }

    public Guid AskedById { get; set; }

    /// <summary>The asker's role when asking.</summary>
    public Role AskedAs { get; set; }

    public DateTimeOffset? DecidedAt { get; set; }

    public Guid? DecidedById { get; set; }

    /// <summary>Why it was declined, or what the second person noted.</summary>
    public string DecisionNote { get; set; } = "";

    /// <summary>Null unless the asker confirmed it as a delayed review; then the hours that the guild's setting asked for.</summary>
    public int? ReviewAfterHours { get; set; }

    public AskedApproval Asked => new(Kind, State, AskedById, AskedAs, AskedAt);

    /// <summary>The payload of its kind.</summary>
    /// <exception cref="InvalidOperationException">The payload is of another kind.</exception>
    public T Read<T>() => JsonSerializer.Deserialize<T>(Payload, Kept) ?? throw new InvalidOperationException($"Request {Id} has no {typeof(T).Name}.");

    public void Write<T>(T payload) => Payload = JsonSerializer.Serialize(payload, Kept);
}

/// <summary>A lot that a request is about.</summary>
public sealed class ApprovalLot
{
    public Guid ApprovalId { get; set; }

    public Approval Approval { get; set; } = null!;

    public Guid LotId { get; set; }
}

internal sealed class ApprovalConfiguration : IEntityTypeConfiguration<Approval>
{
    public void Configure(EntityTypeBuilder<Approval> builder)
    {
        builder.ToTable("approval", t =>
        {
            t.HasCheckConstraint("approval_settled_by_somebody", "(state = 'Waiting') = (decided_at is null) and (state = 'Waiting') = (decided_by_id is null)");
            t.HasCheckConstraint("approval_second_person_is_another", "decided_by_id is null or state = 'Withdrawn' or decided_by_id <> asked_by_id or review_after_hours is not null");
            t.HasCheckConstraint("approval_withdrawn_by_asker", "state <> 'Withdrawn' or decided_by_id = asked_by_id");
            t.HasCheckConstraint(
                "approval_delayed_review_waited",
                "review_after_hours is null or (state = 'Approved' and decided_by_id = asked_by_id and review_after_hours >= 1 and decided_at >= asked_at + review_after_hours * interval '1 hour')");
            t.HasCheckConstraint("approval_declined_with_reason", "state <> 'Declined' or decision_note <> ''");
        });
        builder.Property(a => a.Id).ValueGeneratedNever();
        builder.Property(a => a.Payload).HasColumnType("jsonb");
        builder.Property(a => a.Subject).HasMaxLength(60);
        builder.Property(a => a.DecisionNote).HasMaxLength(1000);
        builder.Ignore(a => a.Asked);

        // What waits is short and asked for by every page with a menu; of a bag, one request of a kind waits at a time.
        builder.HasIndex(a => a.AskedAt).HasFilter("state = 'Waiting'");
        builder.HasIndex(a => new { a.DecidedAt, a.Id }).IsDescending();
        builder.HasIndex(a => new { a.BagId, a.Kind }).IsUnique().HasFilter("state = 'Waiting' and bag_id is not null");
        builder.HasOne<Bag>().WithMany().HasForeignKey(a => a.BagId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Bin>().WithMany().HasForeignKey(a => a.BinId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(a => a.AskedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(a => a.DecidedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasMany(a => a.Lots).WithOne(l => l.Approval).HasForeignKey(l => l.ApprovalId).OnDelete(DeleteBehavior.Restrict);
    }
}

internal sealed class ApprovalLotConfiguration : IEntityTypeConfiguration<ApprovalLot>
{
    public void Configure(EntityTypeBuilder<ApprovalLot> builder)
    {
        builder.ToTable("approval_lot");
        builder.HasKey(l => new { l.ApprovalId, l.LotId });
        builder.HasIndex(l => l.LotId);
        builder.HasOne<Lot>().WithMany(l => l.Approvals).HasForeignKey(l => l.LotId).OnDelete(DeleteBehavior.Restrict);
    }
}
