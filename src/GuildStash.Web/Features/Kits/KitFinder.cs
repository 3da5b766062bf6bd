using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>
/// Kits inside a use case: first its lots are locked, in their order, then the kit itself. Whoever changes a kit raises its version.
/// </summary>
internal static class KitFinder
{
    /// <summary>
    /// The kit with its lines, holds and their lots, all lots locked until the act ends. Another member's is "not found", unless nobody
    /// makes it yet.
    /// </summary>
    public static async Task<Outcome<Kit>> LockedAsync(Act act, Guid kitId)
    {
        Guid[] lots = await act.Db.KitLines.Where(l => l.KitId == kitId).Select(l => l.Hold.LotId).Distinct().ToArrayAsync(act.Cancellation);
        await LotLock.TakeAsync(act.Db, lots, act.Cancellation);
        await LockAsync(act, kitId);
        Kit? kit = await act.Db.Kits
            .Include(k => k.Lines.OrderBy(l => l.Position)).ThenInclude(l => l.Hold).ThenInclude(h => h.Lot).ThenInclude(l => l.Bin)
            .Include(k => k.Request).ThenInclude(r => r.Project).Include(k => k.Request).ThenInclude(r => r.Member)
            .SingleOrDefaultAsync(k => k.Id == kitId, act.Cancellation);
        if (kit is null || !await MaySeeAsync(act, kit))
        {
            return Refusal.NotFound("There is no such kit among those that you may see. Check the number on its label.");
        }

        // A lot that was merged between the two questions has its holds in the other lot, which is not locked yet.
        Guid[] others = [.. kit.Lines.Select(l => l.Hold.LotId).Except(lots)];
        if (others.Length > 0)
        {
            await LotLock.TakeAsync(act.Db, others, act.Cancellation);
        }

        return kit;
    }

    /// <summary>Takes the kit out of everybody else's hands until the act ends; its lots are locked before.</summary>
    public static Task LockAsync(Act act, Guid kitId) => act.Db.Database.ExecuteSqlAsync(
        $"with locked as (select id from kit where id = {kitId} for no key update) select count(*) from locked", act.Cancellation);

    /// <summary>The kit of a line, locked as above, for those who work in the room.</summary>
    public static async Task<Outcome<(Kit Kit, KitLine Line)>> LineAsync(Act act, Guid lineId)
    {
        Guid? kitId = await act.Db.KitLines.Where(l => l.Id == lineId).Select(l => (Guid?)l.KitId).SingleOrDefaultAsync(act.Cancellation);
        if (kitId is not { } known)
        {
            return Refusal.NotFound("There is no such line of a kit any more. Reload the page.");
        }

        Outcome<Kit> kit = await LockedAsync(act, known);
        return kit.IsOk ? (kit.Value, kit.Value.Lines.Single(l => l.Id == lineId)) : Outcome<(Kit, KitLine)>.Refused(kit.Refusals);
    }

    /// <summary>Why nothing can be done with the yarn in the room any more; null while something can.</summary>
    public static Refusal? Gone(Kit kit) => kit.ReleasedAt is not null
        ? Refusal.Conflict("kit-put-back", "The yarn of kit {0} was put back. Make a new kit.", kit.Number)
        : null;

    /// <summary>Why a line can't be weighed, unweighed or handed over; null where it can.</summary>
    public static Refusal? Gone(Kit kit, KitLine line) => Gone(kit) ?? line.Hold.State switch
    {
        HoldState.Active => null,
        HoldState.TakenHome => Refusal.Conflict("hold-ended", "This line of kit {0} was handed over already.", kit.Number),
        _ => Refusal.Conflict("hold-lapsed", "The yarn of this line of kit {0} is not held any more. Hold it again first.", kit.Number),
    };

    /// <summary>Free of the lot besides this line's own hold, that hold included.</summary>
    public static long Besides(KitLine line) => line.Hold.Lot.OnHandMg - line.Hold.Lot.HeldMg - line.Hold.Lot.QuarantinedMg + (line.Hold.State == HoldState.Active ? line.Hold.Mg : 0);

    /// <summary>What others hold of the line's lot.</summary>
    public static long Others(KitLine line) => line.Hold.Lot.HeldMg - (line.Hold.State == HoldState.Active ? line.Hold.Mg : 0);

    public static Task<bool> IsOpenAsync(GuildDbContext db, Guid kitId, DateTimeOffset now, CancellationToken cancellation) =>
        db.Kits.Open(db, now).AnyAsync(k => k.Id == kitId, cancellation);

    private static async Task<bool> MaySeeAsync(Act act, Kit kit) =>
        act.By.Role >= Role.Volunteer || kit.Request.MemberId == act.By.Id || await IsOpenAsync(act.Db, kit.Id, act.Now, act.Cancellation);
}
