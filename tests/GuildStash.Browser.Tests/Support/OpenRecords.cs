using System.Text.Json;
using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Browser.Tests.Support;

/// <summary>What the open pages tell, as it lies in the database: a reckoning of the wanted yarn and records of pieces.</summary>
internal static class OpenRecords
{
    /// <summary>Writes that a plan for all open projects ended with yarn lacking, if none did.</summary>
    public static async Task WantAsync(GuildDbContext db)
    {
        if (await db.Plans.AnyAsync(p => p.Purpose == PlanPurpose.Wanted && p.Answer != null))
        {
            return;
        }

        var projects = await db.Projects.Where(p => p.ClosedAt == null).OrderBy(p => p.PublicName == null).ThenBy(p => p.Name).Take(2).Select(p => new { p.Id, p.Name }).ToListAsync();
        string answer = JsonSerializer.Serialize(new
        {
            Status = "optimal",
            Count = 0,
            Wanted = 12 * projects.Count,
            Made = projects.Select((p, i) => new { Name = $"p{i}", Label = i == 0 ? "Hat" : "Cap", ProjectId = p.Id, ProjectName = p.Name, Covered = 0, Count = 0, Wanted = 12 }),
            Shortages = projects.Select((_, i) => new { Piece = $"p{i}", Part = "Body", Missing = 12, Metres = i == 0 ? 1200 : 640, Mg = 420_000, WeightClasses = i == 0 ? new[] { "dk" } : ["worsted", "aran"], Family = i == 0 ? "blue" : null }),
        }, JsonSerializerOptions.Web);
        db.Plans.Add(new Plan
        {
            Number = "P-0000-0001",
            Purpose = PlanPurpose.Wanted,
            State = PlanState.Done,
            Ask = "{}",
            Answer = answer,
            CreatedAt = DateTimeOffset.UtcNow.AddDays(-2),
            CreatedById = await db.People.Where(p => p.Role == Role.Administrator).Select(p => p.Id).FirstAsync(),
        });
        await db.SaveChangesAsync();
    }

    /// <summary>A project that everybody may see: 60 hats wanted, 12 delivered, 18 in hand.</summary>
    public static async Task DriveAsync(GuildDbContext db, string publicName)
    {
        Guid by = await db.People.Where(p => p.Role == Role.Administrator).Select(p => p.Id).FirstAsync();
        DateTimeOffset now = DateTimeOffset.UtcNow;
        Project project = new() { Name = "Warm hats for the night shelter", Recipient = "Quayside Shelter", PublicName = publicName, Rules = RecipientRules.WashableOnly, CreatedAt = now, CreatedById = by, ChangedAt = now, ChangedById = by };
        project.Pieces.Add(new WantedPiece { Name = "Hat", Wanted = 60 });
        db.Projects.Add(project);
        foreach ((PieceStep step, int pieces) in new[] { (PieceStep.Finished, 30), (PieceStep.Delivered, 12) })
        {
            db.PieceRecords.Add(new PieceRecord { ProjectId = project.Id, WantedPieceId = project.Pieces[0].Id, PieceName = "Hat", Step = step, Pieces = pieces, On = DateOnly.FromDateTime(now.UtcDateTime), MakerId = by, CreatedAt = now, CreatedById = by });
        }

        await db.SaveChangesAsync();
    }
}
