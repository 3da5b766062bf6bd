using GuildStash.Data.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Api;

/// <summary>The answer to a request that carried a key, kept so that a repeated request gets it again instead of being done twice.</summary>
public sealed class IdempotentResponse
{
    /// <summary>How long a key is remembered.</summary>
    public static readonly TimeSpan KeptFor = TimeSpan.FromHours(24);

    public Guid PersonId { get; set; }

    public required string Route { get; set; }

    public required string Key { get; set; }

    /// <summary>SHA-256 of the request's body.</summary>
    public required byte[] BodyHash { get; set; }

    /// <summary>The response's JSON.</summary>
    public required string Response { get; set; }

    public DateTimeOffset CreatedAt { get; set; }
}

internal sealed class IdempotentResponseConfiguration : IEntityTypeConfiguration<IdempotentResponse>
{
    public void Configure(EntityTypeBuilder<IdempotentResponse> builder)
    {
        builder.ToTable("idempotent_response");
        builder.HasKey(r => new { r.PersonId, r.Route, r.Key });
        builder.Property(r => r.Route).HasMaxLength(200);
        builder.Property(r => r.Key).HasMaxLength(200);
        builder.Property(r => r.Response).HasColumnType("jsonb");
        builder.HasIndex(r => r.CreatedAt);
        builder.HasOne<Person>().WithMany().HasForeignKey(r => r.PersonId).OnDelete(DeleteBehavior.Restrict);
    }
}
