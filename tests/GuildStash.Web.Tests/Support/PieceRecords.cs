using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Tests.Support;

/// <summary>Records of pieces as they lie in the database, for readers of them.</summary>
internal static class PieceRecords
{
    /// <summary>Writes that pieces of a project were started, finished or handed over on a day.</summary>
    /// <param name="piece">Name of the project's wanted piece; where it wants none of that name the record has no kind.</param>
    public static async Task<PieceRecord> RecordAsync(this GuildRoom room, Guid? project, string piece, PieceStep step, int pieces, DateOnly on, PieceRecord? takesBack = null, string note = "")
    {
        await using GuildDbContext db = room.Look();
        PieceRecord record = new()
        {
            ProjectId = project,
            WantedPieceId = await db.WantedPieces.Where(w => w.ProjectId == project && w.Name == piece).Select(w => (Guid?)w.Id).SingleOrDefaultAsync(GuildRoom.Cancellation),
            PieceName = piece,
            Step = step,
            Pieces = pieces,
            On = on,
            TakesBackId = takesBack?.Id,
            MakerId = room.Member,
            Note = note,
            CreatedAt = DateTimeOffset.UtcNow,
            CreatedById = room.Volunteer,
        };
        db.PieceRecords.Add(record);
        await db.SaveChangesAsync(GuildRoom.Cancellation);
        return record;
    }

    /// <summary>Shows a project to everybody under this name.</summary>
    public static async Task PublishAsync(this GuildRoom room, Guid project, string? name)
    {
        await using GuildDbContext db = room.Look();
        await db.Database.ExecuteSqlAsync($"update project set public_name = {name} where id = {project}", GuildRoom.Cancellation);
    }
}
