using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Api;

/// <summary>
/// Left behind by each write in its own transaction: where a commit got no answer, the mark is there exactly if the write is. A transaction's
/// number would not do, because a server that crashed before the number reached its log gives it to another.
/// </summary>
public sealed class WriteMark
{
    /// <summary>How long marks are kept. Nobody asks later than some seconds after a write.</summary>
    public static readonly TimeSpan KeptFor = TimeSpan.FromHours(1);

    public Guid Id { get; set; }

    public DateTimeOffset CreatedAt { get; set; }
}

internal sealed class WriteMarkConfiguration : IEntityTypeConfiguration<WriteMark>
{
    public void Configure(EntityTypeBuilder<WriteMark> builder)
    {
        builder.ToTable("write_mark");
        builder.Property(m => m.Id).ValueGeneratedNever();

        // Not indexed: it is only searched when old marks are forgotten, and an index would cost each write.
        builder.Property(m => m.CreatedAt).HasDefaultValueSql("now()");
    }
}
