using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Pieces of a project that were started, finished or handed to the recipient without a kit.</summary>
/// <param name="On">The guild's day; today when null.</param>
/// <param name="MakerId">Who made them; null where nobody says. A member writes down their own.</param>
/// <param name="UsedGrams">Yarn of all of them together, of finished ones, where somebody weighed it.</param>
public sealed record PiecesInput(Guid WantedPieceId, PieceStep Step, int? Pieces, DateOnly? On = null, Guid? MakerId = null, decimal? UsedGrams = null, string? Note = null);

/// <param name="Finished">Of this kind, by all records.</param>
public sealed record RecordedPieces(Guid Id, int Wanted, int Finished, int Delivered);

/// <summary>
/// Writes pieces down. More may be finished than are wanted; no more are handed to the recipient than were finished.
/// </summary>
public sealed class RecordPieces(GuildWork work)
{
    public Task<Outcome<RecordedPieces>> RunAsync(Guid by, PiecesInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Member, act => RecordAsync(act, input), cancellation);

    private static async Task<Outcome<RecordedPieces>> RecordAsync(Act act, PiecesInput input)
    {
        bool worksHere = act.By.Role >= Role.Volunteer;
        if (!worksHere && input.Step == PieceStep.Delivered)
        {
            return Refusal.Forbidden("Only volunteers write down what was handed to a recipient.");
        }

        if (await PieceLock.TakeAsync(act, input.WantedPieceId) is not { } wanted)
        {
            return Refusal.NotFound("The project wants no such piece any more. Reload the page.");
        }

        Check check = new();
        PieceRecord record = await ReadAsync(act, input, wanted, worksHere ? input.MakerId : act.By.Id, check);
        PieceSums sums = await PieceLock.SumsAsync(act, wanted.Id);
        if (record.Step == PieceStep.Delivered && sums.Delivered + record.Pieces > sums.Finished)
        {
            check.Add(HoldRules.Conflict("pieces", "more-than-finished", "{0} can't be handed to the recipient: {1} are finished, and {2} of these were handed over already. Write down first who finished more.",
                record.Pieces, sums.Finished, sums.Delivered));
        }

        if (check.Failed)
        {
            return check.Refuse<RecordedPieces>();
        }

        act.Db.PieceRecords.Add(record);
        return new RecordedPieces(record.Id, wanted.Wanted,
            sums.Finished + (record.Step == PieceStep.Finished ? record.Pieces : 0), sums.Delivered + (record.Step == PieceStep.Delivered ? record.Pieces : 0));
    }

    private static async Task<PieceRecord> ReadAsync(Act act, PiecesInput input, WantedPiece wanted, Guid? maker, Check check)
    {
        int pieces = input.Pieces ?? 0;
        check.That(Enum.IsDefined(input.Step), "step", "There is no such step. Choose started, finished or handed over.");
        check.That(pieces is >= 1 and <= MakeKit.MostPieces, "pieces", "1 to {0} pieces can be written down at once; {1} were given.", MakeKit.MostPieces, pieces);
        check.That(input.UsedGrams is null || input.Step == PieceStep.Finished, "usedGrams", "Yarn is weighed of finished pieces only. Leave it empty.");
        Mass used = input.UsedGrams is { } grams ? check.Take(MassLimits.BagMass(grams, "usedGrams")) : default;
        check.That(maker is null || await act.Db.People.AnyAsync(p => p.Id == maker, act.Cancellation), "makerId", "There is no such member.");
        return new PieceRecord
        {
            ProjectId = wanted.ProjectId,
            WantedPieceId = wanted.Id,
            PieceId = wanted.PieceId,
            PieceName = wanted.Name,
            Step = input.Step,
            Pieces = pieces,
            UsedMg = input.UsedGrams is null ? null : used.Milligrams,
            On = await PieceDays.TakeAsync(act, input.On, check),
            MakerId = maker,
            Note = check.Text(input.Note, "note", 500),
            CreatedAt = act.Now,
            CreatedById = act.By.Id,
        };
    }
}

/// <summary>Takes a record back by its opposite: the wrong one stays readable, and the sums are right again. Yarn that was booked stays booked.</summary>
public sealed class TakeBackPieces(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid recordId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
        {
            PieceRecord? record = await act.Db.PieceRecords.SingleOrDefaultAsync(r => r.Id == recordId, act.Cancellation);
            if (record is null || record.TakesBackId is not null || (act.By.Role < Role.Volunteer && record.CreatedById != act.By.Id))
            {
                return Refusal.NotFound("There is no such record among those that you may take back.");
            }

            WantedPiece? wanted = record.WantedPieceId is { } wantedId ? await PieceLock.TakeAsync(act, wantedId) : null;
            if (await act.Db.PieceRecords.AnyAsync(r => r.TakesBackId == recordId, act.Cancellation))
            {
                return Refusal.Conflict("taken-back", "This record was taken back already.");
            }

            if (wanted is not null && await TooFewAsync(act, record, wanted.Id) is { } refusal)
            {
                return refusal;
            }

            act.Db.PieceRecords.Add(Opposite(act, record));
            await act.Db.SaveChangesAsync(act.Cancellation);
            if (record.KitId is { } kitId && record.Step == PieceStep.Finished)
            {
                record.UsedMg = null;
                await KitFinder.LockAsync(act, kitId);
                await KitSteps.SettleAsync(act, await act.Db.Kits.SingleAsync(k => k.Id == kitId, act.Cancellation));
            }

            return true;
        }, cancellation);

    private static async Task<Refusal?> TooFewAsync(Act act, PieceRecord record, Guid wantedId)
    {
        PieceSums sums = await PieceLock.SumsAsync(act, wantedId);
        return record.Step == PieceStep.Finished && sums.Finished - record.Pieces < sums.Delivered
            ? Refusal.Conflict("more-than-finished", "{0} were handed to the recipient, so no fewer can be finished. Take the hand-over back first.", sums.Delivered)
            : null;
    }

    private static PieceRecord Opposite(Act act, PieceRecord record) => new()
    {
        ProjectId = record.ProjectId,
        WantedPieceId = record.WantedPieceId,
        PieceId = record.PieceId,
        KitId = record.KitId,
        PieceName = record.PieceName,
        Step = record.Step,
        Pieces = -record.Pieces,
        On = record.On,
        MakerId = record.MakerId,
        TakesBackId = record.Id,
        CreatedAt = act.Now,
        CreatedById = act.By.Id,
    };
}

/// <summary>Pieces of one kind by all records.</summary>
internal readonly record struct PieceSums(int Finished, int Delivered);

internal static class PieceLock
{
    /// <summary>The wanted piece, so that two who write its pieces down at once follow each other; null where there is none.</summary>
    public static async Task<WantedPiece?> TakeAsync(Act act, Guid wantedPieceId)
    {
        await act.Db.Database.ExecuteSqlAsync(
            $"with locked as (select id from wanted_piece where id = {wantedPieceId} for no key update) select count(*) from locked", act.Cancellation);
        return await act.Db.WantedPieces.AsNoTracking().SingleOrDefaultAsync(w => w.Id == wantedPieceId, act.Cancellation);
    }

    public static async Task<PieceSums> SumsAsync(Act act, Guid wantedPieceId) => new(
        await act.Db.PieceRecords.Where(r => r.WantedPieceId == wantedPieceId && r.Step == PieceStep.Finished).SumAsync(r => r.Pieces, act.Cancellation),
        await act.Db.PieceRecords.Where(r => r.WantedPieceId == wantedPieceId && r.Step == PieceStep.Delivered).SumAsync(r => r.Pieces, act.Cancellation));
}
