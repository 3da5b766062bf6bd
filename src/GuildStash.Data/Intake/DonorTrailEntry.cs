using GuildStash.Data.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Intake;

/// <summary>What was done with a donor's data.</summary>
public enum DonorTrailKind
{
    Seen = 0,
    Entered = 1,
    Changed = 2,
}

/// <summary>Through what it was done.</summary>
public enum DonorTrailWay
{
    /// <summary>By a statement that did not come through the program, or before the trail was kept.</summary>
    Unknown = 0,
    Page = 1,
    Api = 2,
    Print = 3,
    Export = 4,

    /// <summary>By the operator of the machine; no person of the guild stands behind it.</summary>
    Console = 5,
}

/// <summary>
/// Who saw or changed a donor's data, when and through what. Written once: nobody can change or delete a row. Changes are noted by the
/// database in the transaction that makes them; looks once a day for each person, donor, way and fields.
/// </summary>
public sealed class DonorTrailEntry
{
    public long Id { get; set; }

    /// <summary>Null: every donor, as an export holds them.</summary>
    public Guid? DonorId { get; set; }

    /// <summary>Null: the operator of the machine.</summary>
    public Guid? PersonId { get; set; }

    public DateTimeOffset At { get; set; }

    /// <summary>Day in UTC.</summary>
    public DateOnly Day { get; set; }

    public DonorTrailKind Kind { get; set; }

    public DonorTrailWay Way { get; set; }

    /// <summary>Which data, by the columns of the donor's table: "name" or "name, contact".</summary>
    public required string Fields { get; set; }
}

internal sealed class DonorTrailConfiguration : IEntityTypeConfiguration<DonorTrailEntry>
{
    public void Configure(EntityTypeBuilder<DonorTrailEntry> builder)
    {
        builder.ToTable("donor_trail");
        builder.Property(t => t.Id).UseIdentityAlwaysColumn();
        builder.Property(t => t.Fields).HasMaxLength(100);
        builder.HasIndex(t => new { t.PersonId, t.Day, t.DonorId, t.Way, t.Fields }).IsUnique().HasFilter("kind = 'Seen' and donor_id is not null");
        builder.HasIndex(t => t.DonorId);
        builder.HasOne<Donor>().WithMany().HasForeignKey(t => t.DonorId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(t => t.PersonId).OnDelete(DeleteBehavior.Restrict);
    }
}
