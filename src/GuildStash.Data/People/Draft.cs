using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.People;

/// <summary>What a person typed into a form and has not submitted yet; one for each person and form.</summary>
public sealed class Draft
{
    /// <summary>How long what was typed is kept after the last keystroke.</summary>
    public static readonly TimeSpan KeptFor = TimeSpan.FromDays(30);

    public const int LongestFormKey = 100;

    public Guid PersonId { get; set; }

    /// <summary>Names the form, and what it is about where there may be several, for instance "ball:" with a bag's key.</summary>
    public required string Form { get; set; }

    /// <summary>Version of the form's shape; a draft of another version is not taken up.</summary>
    public int Version { get; set; }

    /// <summary>The form's state as JSON.</summary>
    public required string State { get; set; }

    public DateTimeOffset SavedAt { get; set; }
}

internal sealed class DraftConfiguration : IEntityTypeConfiguration<Draft>
{
    public void Configure(EntityTypeBuilder<Draft> builder)
    {
        builder.ToTable("draft");
        builder.HasKey(d => new { d.PersonId, d.Form });
        builder.Property(d => d.Form).HasMaxLength(Draft.LongestFormKey);
        builder.Property(d => d.State).HasColumnType("jsonb");
        builder.HasIndex(d => d.SavedAt);
        builder.HasOne<Person>().WithMany().HasForeignKey(d => d.PersonId).OnDelete(DeleteBehavior.Restrict);
    }
}
