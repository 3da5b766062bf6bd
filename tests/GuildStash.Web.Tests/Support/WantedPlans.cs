using System.Text.Json;
using GuildStash.Data;
using GuildStash.Data.Projects;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Tests.Support;

/// <summary>Yarn that a plan for all projects lacked.</summary>
/// <param name="Classes">Keys, separated by blanks.</param>
public sealed record Lack(string Classes, string? Family, double Metres, string Piece, int Missing, Guid? Project = null, string? ProjectName = null, long? Mg = 100_000);

/// <summary>Reckonings of the wanted yarn as they lie in the database, for readers of them.</summary>
internal static class WantedPlans
{
    private static int s_number;

    /// <summary>Writes that a plan for all open projects ended so.</summary>
    /// <param name="at">When it was asked; now where nothing is said.</param>
    public static async Task WantAsync(this GuildRoom room, DateTimeOffset? at, params Lack[] lacks)
    {
        string answer = JsonSerializer.Serialize(new
        {
            Status = "optimal",
            Count = 0,
            Wanted = lacks.Sum(lack => lack.Missing),
            Made = lacks.Select((lack, i) => new { Name = $"p{i}", Label = lack.Piece, ProjectId = lack.Project, lack.ProjectName, Covered = 0, Count = 0, Wanted = lack.Missing }),
            Shortages = lacks.Select((lack, i) => new { Piece = $"p{i}", Part = "Body", lack.Missing, lack.Metres, lack.Mg, WeightClasses = lack.Classes.Split(' ', StringSplitOptions.RemoveEmptyEntries), lack.Family }),
        }, JsonSerializerOptions.Web);
        await using GuildDbContext db = room.Look();
        db.Plans.Add(new Plan
        {
            Number = $"P-0000-{Interlocked.Increment(ref s_number):0000}",
            Purpose = PlanPurpose.Wanted,
            State = PlanState.Done,
            Ask = "{}",
            Answer = answer,
            CreatedAt = at ?? DateTimeOffset.UtcNow,
            CreatedById = room.Coordinator,
        });
        await db.SaveChangesAsync(GuildRoom.Cancellation);
    }

    /// <summary>Ends the plans that wait as if they had been sought.</summary>
    public static async Task EndPlansAsync(this GuildRoom room)
    {
        await using GuildDbContext db = room.Look();
        await db.Database.ExecuteSqlAsync($"update plan set state = 'Stopped' where state in ('Waiting', 'Running')", GuildRoom.Cancellation);
    }
}
