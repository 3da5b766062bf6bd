using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.People;

/// <summary>A combination of inventory filters that a person keeps under a name of their own.</summary>
public sealed class SavedFilter
{
    public const int LongestName = 60;

    public const int LongestQuery = 1_000;

    public Guid Id { get; set; } = Guid.CreateVersion7();

    public Guid PersonId { get; set; }

    /// <summary>One line; unique among the person's own, upper and lower case counting as the same.</summary>
    public required string Name { get; set; }

    /// <summary>The filters as they stand in an address, without the question mark: "class=dk&amp;colour=blue".</summary>
    public required string Query { get; set; }

    public DateTimeOffset CreatedAt { get; set; }
}

internal sealed class SavedFilterConfiguration : IEntityTypeConfiguration<SavedFilter>
{
    public void Configure(EntityTypeBuilder<SavedFilter> builder)
    {
        builder.ToTable("saved_filter");
        builder.Property(f => f.Id).ValueGeneratedNever();
        builder.Property(f => f.Name).HasMaxLength(SavedFilter.LongestName);
        builder.Property(f => f.Query).HasMaxLength(SavedFilter.LongestQuery);
        builder.HasIndex(f => new { f.PersonId, f.Name }).IsUnique();
        builder.HasOne<Person>().WithMany().HasForeignKey(f => f.PersonId).OnDelete(DeleteBehavior.Restrict);
    }
}
