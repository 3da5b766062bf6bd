using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Pieces;

/// <summary>Writes a new piece into the piece book.</summary>
public sealed class CreatePiece(GuildWork work)
{
    public Task<Outcome<Guid>> RunAsync(Guid by, BookPieceInput input, CancellationToken cancellation) => RunAsync(by, input, null, cancellation);

    /// <param name="draftOf">The form whose draft this submits.</param>
    public Task<Outcome<Guid>> RunAsync(Guid by, BookPieceInput input, string? draftOf, CancellationToken cancellation) =>
        work.WriteAsync<Guid>(by, Role.Volunteer, async act =>
        {
            await PieceFields.LockAsync(act);
            if (await act.Db.Pieces.CountAsync(p => p.RetiredAt == null, act.Cancellation) >= BookLimits.MostPieces)
            {
                return Refusal.Conflict("piece-book-full", "The piece book has {0:N0} pieces, and no more are taken. Retire some that nobody makes.", BookLimits.MostPieces);
            }

            Check check = new();
            Piece piece = new() { Name = "", CreatedAt = act.Now, CreatedById = act.By.Id };
            await PieceFields.ApplyAsync(act, piece, input, check);
            if (check.Failed)
            {
                return check.Refuse<Guid>();
            }

            act.Db.Pieces.Add(piece);
            await SubmittedDraft.ForgetAsync(act, draftOf);
            return piece.Id;
        }, cancellation);
}

/// <summary>Changes a piece. Kits that were made before keep what they were made with.</summary>
public sealed class EditPiece(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid pieceId, int version, BookPieceInput input, CancellationToken cancellation) =>
        RunAsync(by, pieceId, version, input, null, cancellation);

    /// <param name="draftOf">The form whose draft this submits.</param>
    public Task<Outcome<bool>> RunAsync(Guid by, Guid pieceId, int version, BookPieceInput input, string? draftOf, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            await PieceFields.LockAsync(act);
            Piece? piece = await act.Db.Pieces.Include(p => p.Parts).SingleOrDefaultAsync(p => p.Id == pieceId, act.Cancellation);
            if (piece is null)
            {
                return Refusal.NotFound("There is no such piece in the piece book.");
            }

            if (piece.Version != version)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed this piece meanwhile. Reload to see the present state, then enter your change again.");
            }

            Check check = new();
            await PieceFields.ApplyAsync(act, piece, input, check);
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            piece.Version++;
            await SubmittedDraft.ForgetAsync(act, draftOf);
            return true;
        }, cancellation);
}

/// <summary>Takes a piece out of what is offered, or brings it back. What refers to it stays.</summary>
public sealed class RetirePiece(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid pieceId, bool retire, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            await PieceFields.LockAsync(act);
            Piece? piece = await act.Db.Pieces.SingleOrDefaultAsync(p => p.Id == pieceId, act.Cancellation);
            if (piece is null)
            {
                return Refusal.NotFound("There is no such piece in the piece book.");
            }

            if (piece.RetiredAt is not null == retire)
            {
                return true;
            }

            if (!retire && await PieceFields.IsTakenAsync(act, piece.Id, piece.Name))
            {
                return Refusal.Conflict("piece-name-taken", "There is another \"{0}\" in use by now. Give that one another name first, then bring this one back.", piece.Name);
            }

            piece.RetiredAt = retire ? act.Now : null;
            piece.ChangedAt = act.Now;
            piece.ChangedById = act.By.Id;
            piece.Version++;
            return true;
        }, cancellation);
}

/// <summary>Writes the common pieces into an empty piece book.</summary>
public sealed class BeginPieceBook(GuildWork work)
{
    /// <returns>How many pieces it has now.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.WriteAsync<int>(by, Role.Volunteer, async act =>
        {
            await PieceFields.LockAsync(act);
            if (await act.Db.Pieces.AnyAsync(act.Cancellation))
            {
                return Refusal.Conflict("piece-book-begun", "The piece book has pieces already. Add what is missing by hand.");
            }

            foreach (BookPieceInput input in CommonPieces.All)
            {
                Check check = new();
                Piece piece = new() { Name = "", CreatedAt = act.Now, CreatedById = act.By.Id };
                await PieceFields.ApplyAsync(act, piece, input, check);
                if (check.Failed)
                {
                    return check.Refuse<int>();
                }

                act.Db.Pieces.Add(piece);
            }

            return CommonPieces.All.Count;
        }, cancellation);
}
