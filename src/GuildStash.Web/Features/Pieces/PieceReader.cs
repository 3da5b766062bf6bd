using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A line of the piece book for a list to choose from.</summary>
/// <param name="IsRetired">No longer to be chosen anew.</param>
public sealed record PieceChoice(Guid Id, string Name, bool IsRetired);

/// <summary>Reads the piece book.</summary>
public sealed class PieceReader(GuildWork work)
{
    public const int MostChoices = 2 * BookLimits.MostPieces;

    /// <summary>By name, those in use first.</summary>
    /// <param name="search">Part of a name or of the notes; null lists all.</param>
    public Task<Outcome<PageOf<BookLine>>> ListAsync(Guid by, string? search, bool withRetired, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<BookLine>>(by, Role.Member, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            IQueryable<Piece> pieces = act.Db.Pieces.Where(p => withRetired || p.RetiredAt == null);
            if (!string.IsNullOrWhiteSpace(search))
            {
                string like = LikePattern.Containing(search);
                pieces = pieces.Where(p => EF.Functions.ILike(p.Name, like, LikePattern.EscapeSign) || EF.Functions.ILike(p.Notes, like, LikePattern.EscapeSign));
            }

            PageOf<Piece> read = await pieces.Include(p => p.Parts).OrderBy(p => p.RetiredAt != null).ThenBy(p => p.Name).ThenBy(p => p.Id).PageAsync(page, act.Cancellation);
            Guid?[] ids = [.. read.Items.Select(p => (Guid?)p.Id)];
            Dictionary<Guid, int> wanted = await act.Db.WantedPieces.Where(w => ids.Contains(w.PieceId) && act.Db.Projects.Any(p => p.Id == w.ProjectId && p.ClosedAt == null))
                .GroupBy(w => w.PieceId!.Value).Select(g => new { g.Key, Sum = g.Sum(w => w.Wanted) }).ToDictionaryAsync(g => g.Key, g => g.Sum, act.Cancellation);
            return read.Select(piece => new BookLine(View(piece, []), wanted.GetValueOrDefault(piece.Id)));
        }, cancellation);

    public Task<Outcome<BookPiece>> OneAsync(Guid by, Guid pieceId, CancellationToken cancellation) =>
        work.ReadAsync<BookPiece>(by, Role.Member, async act =>
        {
            Piece? piece = await act.Db.Pieces.Include(p => p.Parts).SingleOrDefaultAsync(p => p.Id == pieceId, act.Cancellation);
            if (piece is null)
            {
                return Refusal.NotFound("There is no such piece in the piece book.");
            }

            List<PieceWish> wishes = await act.Db.WantedPieces.Where(w => w.PieceId == pieceId)
                .Join(act.Db.Projects, w => w.ProjectId, p => p.Id, (w, p) => new { w, p })
                .OrderBy(x => x.p.ClosedAt != null).ThenBy(x => x.p.Name).ThenBy(x => x.w.Position)
                .Select(x => new PieceWish(x.p.Id, x.p.Name, x.w.Name, x.w.Wanted, x.p.ClosedAt != null)).Take(BookPiece.MostWishes).ToListAsync(act.Cancellation);
            return View(piece, wishes);
        }, cancellation);

    /// <summary>All lines by name, those in use first, at most <see cref="MostChoices"/>.</summary>
    public Task<Outcome<List<PieceChoice>>> ChoicesAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<List<PieceChoice>>(by, Role.Member, async act =>
            await act.Db.Pieces.OrderBy(p => p.RetiredAt != null).ThenBy(p => p.Name).ThenBy(p => p.Id).Take(MostChoices)
                .Select(p => new PieceChoice(p.Id, p.Name, p.RetiredAt != null)).ToListAsync(act.Cancellation), cancellation);

    private static BookPiece View(Piece piece, IReadOnlyList<PieceWish> wishes) => new()
    {
        Id = piece.Id,
        Name = piece.Name,
        Craft = piece.Craft,
        ForInfants = piece.ForInfants,
        Minutes = piece.Minutes,
        Notes = piece.Notes,
        Parts = [.. piece.Parts.OrderBy(part => part.Position).Select(BookPart.Of)],
        IsRetired = piece.RetiredAt is not null,
        ChangedAt = piece.ChangedAt,
        Version = piece.Version,
        Wishes = wishes,
    };
}
