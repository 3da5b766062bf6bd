using GuildStash.Data;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Fitting;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Planning;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>What a lot is good for in a piece.</summary>
/// <param name="Parts">The parts that take it, each with the lot's strands that make one of the part's.</param>
/// <param name="OfParts">How many parts the piece has.</param>
public sealed record SuitedPiece(string Piece, IReadOnlyList<(string Name, int Strands)> Parts, int OfParts);

/// <summary>A project's recipient and its pieces, as the planner takes them.</summary>
/// <param name="Pieces">Those of which somebody has said what yarn they take; empty where nobody has.</param>
internal sealed record ProjectYarn(RecipientRules Rules, IReadOnlyList<PlanPiece> Pieces)
{
    /// <summary>Null where there is no such project.</summary>
    public static async Task<ProjectYarn?> ReadAsync(GuildDbContext db, Guid projectId, CancellationToken cancellation)
    {
        Project? project = await db.Projects.AsNoTracking().AsSplitQuery().Include(p => p.Pieces).ThenInclude(w => w.Piece!.Parts.OrderBy(part => part.Position))
            .SingleOrDefaultAsync(p => p.Id == projectId, cancellation);
        return project is null ? null : new(project.Rules, [.. project.Pieces.OrderBy(w => w.Position).Where(w => w.Piece is not null).Select(w => Of(project, w, w.Piece!)).Where(piece => piece.Parts.Count > 0)]);
    }

    /// <summary>By the planner's own word, how much of it there is left aside.</summary>
    public IReadOnlyList<SuitedPiece> SuitedBy(Lot lot, YardageRules rules) =>
        RoomLots.Of(lot, lot.OnHandMg, 0, rules) is not { } yarn
            ? []
            : [.. Pieces.Select(piece => Suited(piece, yarn, rules.Strands)).Where(suited => suited.Parts.Count > 0)];

    private static SuitedPiece Suited(PlanPiece piece, PlanLot lot, StrandSubstitutes substitutes) => new(
        piece.Name, [.. piece.Parts.Select(part => (part.Name, Strands: PartYarn.StrandsFor(piece, part, lot, substitutes))).Where(part => part.Strands > 0)], piece.Parts.Count);

    private static PlanPiece Of(Project project, WantedPiece wanted, Piece piece) => new()
    {
        Name = wanted.Name,
        Wanted = wanted.Wanted,
        Parts = PlanParts.Read(piece.Parts.Select(AskedPart.Of), new AskedPiece(), "", []),
        Rules = PlanParts.RulesOf(project.Rules, piece),
    };
}
