using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>Which part of the yarn in the room is counted.</summary>
public enum StockPart
{
    /// <summary>What anybody may reserve now.</summary>
    Free = 0,

    /// <summary>What lies in open bins, reserved yarn included; lots that nobody weighed count as lots only.</summary>
    OnShelves = 1,

    /// <summary>What is kept apart.</summary>
    InQuarantine = 2,
}

/// <summary>One cell of the colour × weight-class table; lengths in metres.</summary>
/// <param name="Mg">Of the part that was asked for; on open shelves, held yarn included, when nothing else was.</param>
/// <param name="FreeMg">What of it nobody has reserved.</param>
/// <param name="Length">What its lengths add up to, and how unsure that is.</param>
/// <param name="ScaleLogSd">How far the scale of all lots may be off; see <see cref="TotalSettings.ScaleLogSd"/>.</param>
public sealed record SummaryRow(ColourFamily? ColourFamily, WeightClass? WeightClass, int Lots, long Mg, long FreeMg, LengthSums Length, double ScaleLogSd = 0)
{
    private readonly LengthRange _range = LengthSums.Total([Length], ScaleLogSd);

    /// <summary>What may be promised of the cell as a whole: more than its lots' low figures together, since not all of them are short at once.</summary>
    public double MetresLow => _range.Low.Metres;

    public double MetresLikely => _range.Likely.Metres;

    public double MetresHigh => _range.High.Metres;

    /// <summary>Several cells together; a class's cells are off together, so that low and high are not sums either.</summary>
    public static LengthRange Total(IEnumerable<SummaryRow> rows)
    {
        SummaryRow[] all = [.. rows];
        return LengthSums.Total(all.Select(row => row.Length), all.Length == 0 ? 0 : all.Max(row => row.ScaleLogSd));
    }
}

/// <summary>One lot on the wall.</summary>
/// <param name="MetresLow">Of the part that was asked for; null where nobody knows its length.</param>
public sealed record WallBlock(string Code, string? ColourHex, double? MetresLow);

/// <summary>One cell of the wall: its figures, and its longest lots, longest first.</summary>
public sealed record WallCell(SummaryRow Figures, IReadOnlyList<WallBlock> Blocks);

/// <summary>The stock in one sentence; masses in milligrams, lengths in metres.</summary>
/// <param name="FreeLots">Lots of which some is free.</param>
/// <param name="QuarantinedLots">Lots that are kept apart, in whole or in part.</param>
/// <param name="Unweighed">Lots that nobody weighed yet.</param>
public sealed record StockHead(
    int FreeLots, long FreeMg, double FreeMetresLow, double FreeMetresLikely, double FreeMetresHigh, int ReservedLots, long ReservedMg, int QuarantinedLots, long QuarantinedMg, int Unweighed);

/// <summary>Reads lots and their summary for whoever is signed in.</summary>
public sealed class InventoryReader(GuildWork work)
{
    /// <summary>Most blocks that a cell of the wall may be asked for.</summary>
    public const int MostBlocks = 100;

    public Task<Outcome<PageOf<LotView>>> LotsAsync(Guid by, LotFilter filter, LotOrder order, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<LotView>>(by, Role.Member, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            Outcome<IQueryable<Lot>> lots = await LotFilters.ApplyAsync(act, filter);
            if (!lots.IsOk)
            {
                return Outcome<PageOf<LotView>>.Refused(lots.Refusals);
            }

            int total = await lots.Value.CountAsync(act.Cancellation);

            // Which lots stand on the page is found in an index where there is one; only theirs of the wide rows are read.
            IQueryable<Guid> onPage = LotFilters.Order(lots.Value, order).Select(l => l.Id).Skip((page.Page - 1) * page.PageSize).Take(page.PageSize);
            List<LotViews.Row> rows = await LotViews.Rows(LotFilters.Order(act.Db.Lots.Where(l => onPage.Contains(l.Id)), order)).ToListAsync(act.Cancellation);
            ProjectYarn? project = filter.ProjectId is { } id ? await ProjectYarn.ReadAsync(act.Db, id, act.Cancellation) : null;
            return new PageOf<LotView>(
                [.. rows.Select(r => LotViews.From(r, act.Yardage) with { Suits = project?.SuitedBy(r.Lot, act.Yardage) ?? [] })], page.Page, page.PageSize, total);
        }, cancellation);

    /// <summary>Hands all lots of the filter on, one after the other as the database sends them, so that the list may be of any length.</summary>
    /// <param name="each">Called for each lot; never before a refusal.</param>
    /// <returns>How many there were.</returns>
    public Task<Outcome<int>> EachLotAsync(Guid by, LotFilter filter, LotOrder order, Func<LotView, ValueTask> each, CancellationToken cancellation) =>
        work.ReadAsync<int>(by, Role.Member, async act =>
        {
            Outcome<IQueryable<Lot>> lots = await LotFilters.ApplyAsync(act, filter);
            if (!lots.IsOk)
            {
                return Outcome<int>.Refused(lots.Refusals);
            }

            int count = 0;
            await foreach (LotViews.Row row in LotViews.Rows(LotFilters.Order(lots.Value, order)).AsAsyncEnumerable().WithCancellation(act.Cancellation))
            {
                await each(LotViews.From(row, act.Yardage));
                count++;
            }

            return count;
        }, cancellation);

    public Task<Outcome<LotView>> LotAsync(Guid by, string? code, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Member, act => LotViews.ByCodeAsync(act, code), cancellation);

    /// <summary>Figures of the cells of what is on open shelves, with the weighing errors in their low and high.</summary>
    public Task<Outcome<IReadOnlyList<SummaryRow>>> SummaryAsync(Guid by, LotFilter filter, CancellationToken cancellation) =>
        SummaryAsync(by, filter, StockPart.OnShelves, cancellation);

    /// <summary>The same for another part of the stock.</summary>
    public Task<Outcome<IReadOnlyList<SummaryRow>>> SummaryAsync(Guid by, LotFilter filter, StockPart part, CancellationToken cancellation) =>
        AskAsync<IReadOnlyList<SummaryRow>>(by, filter, async (lots, act) => await LotTotals.ByCellAsync(lots, part, act), cancellation);

    /// <summary>The cells with their longest lots.</summary>
    /// <param name="perCell">Most blocks a cell, 1 to <see cref="MostBlocks"/>.</param>
    public Task<Outcome<IReadOnlyList<WallCell>>> WallAsync(Guid by, LotFilter filter, StockPart part, int perCell, CancellationToken cancellation)
    {
        Guard.InRange(perCell, 1L, MostBlocks, nameof(perCell));
        return AskAsync<IReadOnlyList<WallCell>>(by, filter, async (lots, act) => await LotTotals.WallAsync(lots, part, perCell, act), cancellation);
    }

    /// <summary>The whole of what the filter leaves, in one sentence's figures.</summary>
    public Task<Outcome<StockHead>> HeadAsync(Guid by, LotFilter filter, CancellationToken cancellation) =>
        AskAsync(by, filter, LotTotals.HeadAsync, cancellation);

    private Task<Outcome<T>> AskAsync<T>(Guid by, LotFilter filter, Func<IQueryable<Lot>, Act, Task<T>> question, CancellationToken cancellation) =>
        work.ReadAsync<T>(by, Role.Member, async act =>
        {
            Outcome<IQueryable<Lot>> lots = await LotFilters.ApplyAsync(act, filter);
            return lots.IsOk ? await question(lots.Value, act) : Outcome<T>.Refused(lots.Refusals);
        }, cancellation);
}
