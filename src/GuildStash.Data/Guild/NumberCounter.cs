using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Guild;

/// <summary>Last number given in a series; the row is locked until the transaction that took a number ends, so there are no gaps.</summary>
public sealed class NumberCounter
{
    public required string Series { get; set; }

    /// <summary>The series' year, or 0 for a series that never restarts.</summary>
    public int Year { get; set; }

    public long Last { get; set; }
}

internal sealed class NumberCounterConfiguration : IEntityTypeConfiguration<NumberCounter>
{
    public void Configure(EntityTypeBuilder<NumberCounter> builder)
    {
        builder.ToTable("number_counter");
        builder.HasKey(c => new { c.Series, c.Year });
        builder.Property(c => c.Series).HasMaxLength(20);
    }
}
