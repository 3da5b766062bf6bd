using GuildStash.Data.Ledger;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <summary>What a member holds of the lot in their own name.</summary>
public sealed record LotHolder(Guid MemberId, string MemberName, string RequestNumber, long Mg);

/// <summary>A lot that lies on the table, with all that matters for handing it over.</summary>
/// <param name="WholeMg">What leaves if it leaves as a whole: what is free.</param>
/// <param name="OthersMg">What is held of it.</param>
/// <param name="ToleranceMg">How far scale and books may be apart when it leaves as a whole.</param>
public sealed record LotAtTable(LotView Lot, long WholeMg, long OthersMg, long ToleranceMg, IReadOnlyList<LotHolder> Holders)
{
    /// <summary>The code that was scanned, without hyphen, where its lot went into this one; else null.</summary>
    public string? OldCode { get; init; }
}

/// <summary>Reads a lot by its code for whoever stands at the table.</summary>
public sealed class LotAtTableReader(GuildWork work)
{
    private const int MostHolders = 20;

    public Task<Outcome<LotAtTable>> RunAsync(Guid by, string? code, CancellationToken cancellation) =>
        work.ReadAsync<LotAtTable>(by, Role.Volunteer, async act =>
        {
            Outcome<LotView> found = await LotViews.ByCodeAsync(act, await LotSurvivor.CodeAsync(act, code));
            if (!found.IsOk)
            {
                return Outcome<LotAtTable>.Refused([.. found.Refusals.Select(r => r with { Field = "lotCode" })]);
            }

            LotView lot = found.Value;
            IQueryable<Hold> holds = act.Db.Holds.Where(h => h.LotId == lot.Id && h.State == HoldState.Active && h.ExpiresAt > act.Now);
            long held = await holds.SumAsync(h => h.Mg, act.Cancellation);
            List<LotHolder> holders = await OwnHolds.Running(act).Where(h => h.LotId == lot.Id).OrderBy(h => h.CreatedAt).Take(MostHolders)
                .Select(h => new LotHolder(h.Request.MemberId, h.Request.Member.DisplayName, h.Request.Number, h.Mg)).ToListAsync(act.Cancellation);
            int tolerance = await act.Db.Guilds.Select(g => g.WeighingToleranceGrams).SingleAsync(act.Cancellation);
            long whole = (lot.OnHandMg ?? 0) - lot.QuarantinedMg - held;
            return new LotAtTable(lot, whole, held, WeighingTolerance.Of(tolerance, lot.ScaleDivisionMg, whole), holders)
            {
                OldCode = LotCode.TryParse(code, out LotCode scanned) && scanned.Value != lot.Code ? scanned.Value : null,
            };
        }, cancellation);
}
