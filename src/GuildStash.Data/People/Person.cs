using GuildStash.Domain.People;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.People;

/// <summary>Somebody with an account. Accounts are disabled, never deleted: their name stays with what they did.</summary>
public sealed class Person : IdentityUser<Guid>
{
    public required string DisplayName { get; set; }

    public Role Role { get; set; }

    /// <summary>Null: the guild's culture.</summary>
    public string? Culture { get; set; }

    /// <summary>Null: the guild's unit.</summary>
    public LengthUnit? LengthUnit { get; set; }

    public Theme Theme { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public DateTimeOffset? DisabledAt { get; set; }
}

internal sealed class PersonConfiguration : IEntityTypeConfiguration<Person>
{
    public void Configure(EntityTypeBuilder<Person> builder)
    {
        builder.ToTable("person");
        builder.Property(p => p.DisplayName).HasMaxLength(120);
        builder.Property(p => p.Culture).HasMaxLength(20);
    }
}
