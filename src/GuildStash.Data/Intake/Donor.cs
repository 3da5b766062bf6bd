using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Intake;

/// <summary>Somebody who gave yarn and wished to be known by name; most gifts have no donor record.</summary>
public sealed class Donor
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    public required string Name { get; set; }

    public string Contact { get; set; } = "";

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public DateTimeOffset ChangedAt { get; set; }

    public Guid ChangedById { get; set; }

    public int Version { get; set; }
}

internal sealed class DonorConfiguration : IEntityTypeConfiguration<Donor>
{
    public void Configure(EntityTypeBuilder<Donor> builder)
    {
        builder.ToTable("donor");
        builder.Property(d => d.Id).ValueGeneratedNever();
        builder.Property(d => d.Name).HasMaxLength(200);
        builder.Property(d => d.Contact).HasMaxLength(300);
        builder.Property(d => d.Version).IsConcurrencyToken();
        builder.HasIndex(d => d.Name);
    }
}
