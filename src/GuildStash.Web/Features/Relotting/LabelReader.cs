using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <summary>What a code on a label leads to.</summary>
/// <param name="Lot">The lot to work with.</param>
/// <param name="OldDisplay">The code as typed, in groups, where that lot went into another one; else null.</param>
/// <param name="OldCode">The same without hyphen.</param>
/// <param name="Since">When it went there.</param>
public sealed record LabelledLot(LotView Lot, string? OldDisplay, string? OldCode, DateTimeOffset? Since);

/// <summary>Reads the lot that a label means, also an old label whose lot was merged into another one.</summary>
public sealed class LabelReader(GuildWork work)
{
    public Task<Outcome<LabelledLot>> RunAsync(Guid by, string? code, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Member, act => FindAsync(act, code), cancellation);

    /// <summary>The lot that a search for an old code means; null where the words are no code of a merged lot.</summary>
    public Task<Outcome<LabelledLot?>> OldAsync(Guid by, string? query, CancellationToken cancellation) =>
        work.ReadAsync<LabelledLot?>(by, Role.Member, async act =>
        {
            Outcome<LabelledLot> found = LotCode.TryParse(query, out _) ? await FindAsync(act, query) : Refusal.NotFound("This is no code of a lot.");
            return found is { IsOk: true, Value.OldCode: not null } ? found.Value : null as LabelledLot;
        }, cancellation);

    private static async Task<Outcome<LabelledLot>> FindAsync(Act act, string? code)
    {
        string? end = await LotSurvivor.CodeAsync(act, code);
        Outcome<LotView> lot = await LotViews.ByCodeAsync(act, end);
        if (!lot.IsOk)
        {
            return Outcome<LabelledLot>.Refused(lot.Refusals);
        }

        LotCode typed = LotCode.Parse(code).Value;
        if (typed.Value == lot.Value.Code)
        {
            return new LabelledLot(lot.Value, null, null, null);
        }

        string old = typed.Value;
        DateTimeOffset? since = await act.Db.Lots.Where(l => l.Code == old).Select(l => l.ClosedAt).SingleAsync(act.Cancellation);
        return new LabelledLot(lot.Value, typed.Display, old, since);
    }
}
