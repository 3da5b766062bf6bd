using GuildStash.Data.Projects;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>What one part of a piece took.</summary>
/// <param name="Part">Null where kits have a part that the book does not know.</param>
/// <param name="Metres">Of one strand for one piece, one figure for each kit, oldest first.</param>
/// <param name="Own">Null where nothing was measured.</param>
public sealed record OwnPart(string Name, OwnPartBook? Part, IReadOnlyList<double> Metres, OwnNeed? Own);

/// <summary>What the piece book says, metres of one strand.</summary>
public sealed record OwnPartBook(Guid Id, int Strands, double Low, double Likely, double Safe);

/// <param name="Kits">Kits that are done and of which something was made.</param>
/// <param name="Pieces">Pieces that are weighed: of these kits, and of others where somebody weighed what they took.</param>
/// <param name="Grams">Of one piece, one figure for each kit or record; null where nobody weighed any.</param>
public sealed record OwnPiece(Guid PieceId, string Name, int Kits, int Pieces, OwnNeed? Grams, IReadOnlyList<OwnPart> Parts);

/// <summary>Reads what finished pieces really took, against what the piece book says.</summary>
public sealed class OwnPieceReader(GuildWork work)
{
    /// <summary>The newest count; older ones were made of other yarn by other hands.</summary>
    public const int MostKits = 200;

    private sealed record KitSum(Guid Id, int Pieces);

    private sealed record PartSum(Guid KitId, string Part, long Mg, double Metres, bool IsKnown);

    public Task<Outcome<OwnPiece>> RunAsync(Guid by, Guid pieceId, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Member, act => ReadAsync(act, pieceId), cancellation);

    private static async Task<Outcome<OwnPiece>> ReadAsync(Act act, Guid pieceId)
    {
        Piece? piece = await act.Db.Pieces.Include(p => p.Parts).SingleOrDefaultAsync(p => p.Id == pieceId, act.Cancellation);
        if (piece is null)
        {
            return Refusal.NotFound("There is no such piece in the piece book.");
        }

        List<KitSum> kits = await act.Db.Kits.In(KitState.Done, act.Db, act.Now).Where(k => k.PieceId == pieceId)
            .Where(k => act.Db.PieceRecords.Where(r => r.KitId == k.Id && r.Step == PieceStep.Finished).Sum(r => r.Pieces) > 0)
            .OrderByDescending(k => k.CreatedAt).ThenByDescending(k => k.Id).Take(MostKits)
            .Select(k => new KitSum(k.Id, act.Db.PieceRecords.Where(r => r.KitId == k.Id && r.Step == PieceStep.Finished).Sum(r => r.Pieces)))
            .ToListAsync(act.Cancellation);
        kits.Reverse();
        List<PartSum> sums = await PartsAsync(act, [.. kits.Select(k => k.Id)]);
        var others = await act.Db.PieceRecords
            .Where(r => r.PieceId == pieceId && r.KitId == null && r.Step == PieceStep.Finished && r.UsedMg > 0 && !act.Db.PieceRecords.Any(t => t.TakesBackId == r.Id))
            .OrderByDescending(r => r.On).Take(MostKits).Select(r => new { r.Pieces, Mg = r.UsedMg!.Value }).ToListAsync(act.Cancellation);
        ILookup<Guid, PartSum> ofKit = sums.ToLookup(s => s.KitId);
        List<double> grams = [.. kits.Select(k => ofKit[k.Id].Sum(s => s.Mg) / 1000.0 / k.Pieces).Where(g => g > 0), .. others.Select(o => o.Mg / 1000.0 / o.Pieces)];
        return new OwnPiece(piece.Id, piece.Name, kits.Count, kits.Sum(k => k.Pieces) + others.Sum(o => o.Pieces), grams.Count == 0 ? null : OwnNeed.Of(grams), Parts(piece, kits, ofKit));
    }

    /// <summary>Mass and likely length that each part of each kit used up, by the books.</summary>
    private static async Task<List<PartSum>> PartsAsync(Act act, Guid[] kits)
    {
        var used = await (
            from line in act.Db.KitLines
            where kits.Contains(line.KitId)
            join checkout in act.Db.Checkouts on line.HoldId equals checkout.HoldId
            join movement in act.Db.Movements on checkout.Id equals movement.CheckoutId
            where movement.Reason == MovementReason.UsedUp || movement.Reason == MovementReason.Kept
            select new { line.KitId, line.Part, movement.Mg, Per100g = checkout.Lot.MetresPer100gLikely }).ToListAsync(act.Cancellation);
        return [.. used.GroupBy(u => (u.KitId, u.Part)).Select(g => new PartSum(
            g.Key.KitId, g.Key.Part, g.Sum(u => u.Mg), g.Sum(u => u.Mg / 100_000.0 * (u.Per100g ?? 0)), g.All(u => u.Per100g is not null)))];
    }

    /// <summary>The book's parts first, then what kits called otherwise. A piece of one part takes all of a kit, whatever it is called there.</summary>
    private static List<OwnPart> Parts(Piece piece, List<KitSum> kits, ILookup<Guid, PartSum> ofKit)
    {
        List<PiecePart> book = [.. piece.Parts.OrderBy(p => p.Position)];
        string NameOf(PartSum sum) => book.Count == 1 ? book[0].Name : book.Find(p => string.Equals(p.Name, sum.Part, StringComparison.OrdinalIgnoreCase))?.Name ?? sum.Part;
        string[] unknown = [.. kits.SelectMany(k => ofKit[k.Id]).Select(NameOf).Distinct().Where(n => !book.Exists(p => p.Name == n)).Order(StringComparer.CurrentCulture)];
        return [.. book.Select(p => p.Name).Concat(unknown).Select(name =>
        {
            PiecePart? part = book.Find(p => p.Name == name);
            List<double> metres = [.. kits.Select(k => (k.Pieces, Sums: ofKit[k.Id].Where(s => NameOf(s) == name).ToList()))
                .Where(k => k.Sums.Count > 0 && k.Sums.TrueForAll(s => s.IsKnown)).Select(k => k.Sums.Sum(s => s.Metres) / k.Pieces / (part?.Strands ?? 1)).Where(m => m > 0)];
            OwnPartBook? says = part is null ? null : new OwnPartBook(part.Id, part.Strands, part.MetresLow, part.MetresLikely, part.MetresSafe);
            return new OwnPart(name, says, metres, metres.Count == 0 ? null : OwnNeed.Of(metres));
        })];
    }
}
