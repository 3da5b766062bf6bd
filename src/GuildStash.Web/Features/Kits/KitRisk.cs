using GuildStash.Data.Stock;
using GuildStash.Domain.Rules;
using GuildStash.Planning.Problem;
using GuildStash.Planning.Risk;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>How likely a kit's parts run short with what was weighed out for them.</summary>
internal static class KitRisk
{
    /// <summary>
    /// Chances by part, for the parts of which less was weighed than planned; a line that is not weighed yet counts as planned. A part is
    /// left out where the piece book does not say what it takes, or nobody can tell how long one of its lots is.
    /// </summary>
    public static async Task<IReadOnlyDictionary<string, double>> OfAsync(Act act, KitView kit)
    {
        string[] parts = [.. kit.Lines.Where(line => line.ShortMetres is not null).Select(line => line.Part).Distinct()];
        Dictionary<string, double> chances = [];
        if (parts.Length == 0 || kit.PieceId is not { } pieceId || kit.State is not (KitState.ToPack or KitState.Packed))
        {
            return chances;
        }

        List<Data.Projects.PiecePart> book = await act.Db.PieceParts.AsNoTracking().Where(p => p.PieceId == pieceId).OrderBy(p => p.Position).ToListAsync(act.Cancellation);
        Guid[] ids = [.. kit.Lines.Select(line => line.Lot.Id).Distinct()];
        Dictionary<Guid, Lot> lots = await act.Db.Lots.AsNoTracking().Where(l => ids.Contains(l.Id)).ToDictionaryAsync(l => l.Id, act.Cancellation);
        foreach (string part in parts)
        {
            // Where nobody named a part, the yarn is for the only one there is.
            string? name = part == MakeKit.OnlyPart && book.Count == 1 ? book[0].Name : part;
            List<Refusal> refusals = [];
            IReadOnlyList<PlanPart> need = PlanParts.Read(book.Where(p => p.Name == name).Select(AskedPart.Of), new AskedPiece(), "", refusals);
            PlanLot?[] yarn = [.. kit.Lines.Where(line => line.Part == part).Select(line => RoomLots.Of(lots[line.Lot.Id], line.WeighedMg ?? line.PlannedMg, 0, act.Yardage))];
            if (need is [{ } only] && yarn.All(lot => lot is not null) && ReadyYarnRisk.OfPart(only, kit.Pieces, [.. yarn.OfType<PlanLot>()], act.Yardage.Strands) is { } chance)
            {
                chances[part] = chance;
            }
        }

        return chances;
    }
}
