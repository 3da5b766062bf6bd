using GuildStash.Data.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Metadata.Builders;

namespace GuildStash.Data.Projects;

/// <summary>What a plan is for.</summary>
public enum PlanPurpose
{
    /// <summary>What can be made of the room's free yarn.</summary>
    Room = 0,

    /// <summary>For one member: an evening, a colour.</summary>
    Member = 1,

    /// <summary>For a project and its deadline.</summary>
    Drive = 2,

    /// <summary>What open projects lack.</summary>
    Wanted = 3,

    /// <summary>Another plan with something changed.</summary>
    WhatIf = 4,
}

/// <summary>How far the search for a plan is.</summary>
public enum PlanState
{
    /// <summary>Its turn has not come.</summary>
    Waiting = 0,

    Running = 1,

    /// <summary>Ended by itself.</summary>
    Done = 2,

    /// <summary>Stopped by a person; the best answer by then is kept.</summary>
    Stopped = 3,

    /// <summary>The program ended meanwhile; the best answer that was kept counts.</summary>
    Interrupted = 4,

    /// <summary>Nothing to be had, see <see cref="Plan.Trouble"/>.</summary>
    Failed = 5,
}

/// <summary>A search for what can be made, with what it was asked and what it found.</summary>
public sealed class Plan
{
    public Guid Id { get; set; } = Guid.CreateVersion7();

    /// <summary>For instance P-2026-0007.</summary>
    public required string Number { get; set; }

    public string Name { get; set; } = "";

    public PlanPurpose Purpose { get; set; }

    /// <summary>The plan that this one changes something of.</summary>
    public Guid? BasisId { get; set; }

    public Guid? ProjectId { get; set; }

    public Project? Project { get; set; }

    /// <summary>What was asked, as JSON.</summary>
    public required string Ask { get; set; }

    /// <summary>Lots as they were when the search began, as JSON; null before.</summary>
    public string? Lots { get; set; }

    /// <summary>The best answer so far, as JSON.</summary>
    public string? Answer { get; set; }

    /// <summary>Stage, best value and bound so far, as JSON.</summary>
    public string? Progress { get; set; }

    public PlanState State { get; set; }

    /// <summary>Why it failed: sentences with their arguments, as JSON; empty where it did not.</summary>
    public string Trouble { get; set; } = "";

    /// <summary>The run of the program that has it in hand; another one finds its own left over by it.</summary>
    public Guid? RunId { get; set; }

    /// <summary>When its run was last heard of.</summary>
    public DateTimeOffset? HeardAt { get; set; }

    public DateTimeOffset? StartedAt { get; set; }

    public DateTimeOffset? EndedAt { get; set; }

    public DateTimeOffset? StopAskedAt { get; set; }

    public DateTimeOffset? AcceptedAt { get; set; }

    public Guid? AcceptedById { get; set; }

    public DateTimeOffset CreatedAt { get; set; }

    public Guid CreatedById { get; set; }

    public Person CreatedBy { get; set; } = null!;

    public int Version { get; set; }
}

internal sealed class PlanConfiguration : IEntityTypeConfiguration<Plan>
{
    public void Configure(EntityTypeBuilder<Plan> builder)
    {
        builder.ToTable("plan");
        builder.Property(p => p.Id).ValueGeneratedNever();
        builder.Property(p => p.Number).HasMaxLength(20);
        builder.HasIndex(p => p.Number).IsUnique();
        builder.Property(p => p.Name).HasMaxLength(150);
        builder.Property(p => p.Ask).HasColumnType("jsonb");
        builder.Property(p => p.Lots).HasColumnType("jsonb");
        builder.Property(p => p.Answer).HasColumnType("jsonb");
        builder.Property(p => p.Progress).HasColumnType("jsonb");
        builder.Property(p => p.Trouble).HasMaxLength(2000);
        builder.Property(p => p.Version).IsConcurrencyToken();
        builder.HasIndex(p => p.CreatedAt);
        builder.HasIndex(p => p.State).HasFilter("state in ('Waiting', 'Running')");
        builder.HasOne<Plan>().WithMany().HasForeignKey(p => p.BasisId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(p => p.Project).WithMany().HasForeignKey(p => p.ProjectId).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne(p => p.CreatedBy).WithMany().HasForeignKey(p => p.CreatedById).OnDelete(DeleteBehavior.Restrict);
        builder.HasOne<Person>().WithMany().HasForeignKey(p => p.AcceptedById).OnDelete(DeleteBehavior.Restrict);
    }
}
