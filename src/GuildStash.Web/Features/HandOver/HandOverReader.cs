using GuildStash.Data.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <summary>One promised lot of a request, with the lot as it stands.</summary>
public sealed record HoldLine(Guid HoldId, long Mg, double? WantedMetres, double? MetresLow, DateTimeOffset ExpiresAt, LotView Lot);

/// <summary>A member's request that waits to be handed over; its holds are in bin order.</summary>
public sealed record WaitingRequest(Guid Id, string Number, Guid MemberId, string MemberName, Guid? ProjectId, string? ProjectName, string Note, DateTimeOffset CreatedAt, IReadOnlyList<HoldLine> Holds);

/// <summary>Yarn at a member's home.</summary>
public sealed record AtHome(
    Guid CheckoutId, Guid MemberId, string MemberName, Guid? ProjectId, string? ProjectName, DateOnly DueOn, bool IsLate, DateTimeOffset TakenAt, long TakenMg, long AtHomeMg, double? MetresLow, LotView Lot);

/// <summary>Leftovers that wait for inspection.</summary>
public sealed record WaitingReturn(Guid ReturnId, string MemberName, long Mg, DateTimeOffset CreatedAt, IReadOnlyList<string> Conditions, LotView Lot);

/// <summary>What waits at the hand-over desk, and what a member holds and has at home.</summary>
public sealed class HandOverReader(GuildWork work)
{
    /// <summary>Requests with holds that have not lapsed, oldest first.</summary>
    public Task<Outcome<PageOf<WaitingRequest>>> WaitingAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<WaitingRequest>>(by, Role.Volunteer, async act => page.Wrong() is { } wrong
            ? wrong
            : await RequestsAsync(act, act.Db.HoldRequests, page), cancellation);

    /// <summary>One request: a member's own, or anybody's for a volunteer. For the pick-up slip.</summary>
    public Task<Outcome<WaitingRequest>> RequestAsync(Guid by, Guid requestId, CancellationToken cancellation) =>
        work.ReadAsync<WaitingRequest>(by, Role.Member, async act =>
        {
            IQueryable<HoldRequest> mine = act.Db.HoldRequests.Where(r => r.Id == requestId && (act.By.Role >= Role.Volunteer || r.MemberId == act.By.Id));
            PageOf<WaitingRequest> found = await RequestsAsync(act, mine, new PageRequest(1, 1));
            return found.Items is [{ } one] ? one : Refusal.NotFound("There is no such request with yarn still held.");
        }, cancellation);

    /// <summary>What the person holds.</summary>
    public Task<Outcome<PageOf<WaitingRequest>>> MyRequestsAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<WaitingRequest>>(by, Role.Member, async act => page.Wrong() is { } wrong
            ? wrong
            : await RequestsAsync(act, act.Db.HoldRequests.Where(r => r.MemberId == act.By.Id), page), cancellation);

    /// <summary>What the person has at home.</summary>
    public Task<Outcome<PageOf<AtHome>>> MyYarnAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        AtHomeAsync(by, Role.Member, c => c.MemberId == by, page, cancellation);

    /// <summary>What all members have at home, due first.</summary>
    public Task<Outcome<PageOf<AtHome>>> AllAtHomeAsync(Guid by, bool onlyLate, PageRequest page, CancellationToken cancellation)
    {
        DateOnly today = DateOnly.FromDateTime(DateTime.UtcNow);
        return AtHomeAsync(by, Role.Volunteer, c => !onlyLate || c.DueOn < today, page, cancellation);
    }

    /// <summary>Leftovers that wait for inspection, oldest first.</summary>
    public Task<Outcome<PageOf<WaitingReturn>>> ReturnsAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<WaitingReturn>>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            var rows = await act.Db.LotReturns.Where(r => r.SettledAt == null).OrderBy(r => r.CreatedAt)
                .Select(r => new { r.Id, Member = r.Checkout.Member.DisplayName, r.Mg, r.CreatedAt, r.Conditions, r.LotId }).PageAsync(page, act.Cancellation);
            Dictionary<Guid, LotView> lots = await LotsAsync(act, rows.Items.Select(r => r.LotId));
            return rows.Select(r => new WaitingReturn(r.Id, r.Member, r.Mg, r.CreatedAt, Domain.Intake.ConditionRules.Keys(r.Conditions ?? 0), lots[r.LotId]));
        }, cancellation);

    private Task<Outcome<PageOf<AtHome>>> AtHomeAsync(Guid by, Role least, System.Linq.Expressions.Expression<Func<Checkout, bool>> which, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<AtHome>>(by, least, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            DateOnly today = GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now);
            var rows = await act.Db.Checkouts.Where(c => c.ClosedAt == null).Where(which).OrderBy(c => c.DueOn).ThenBy(c => c.Id)
                .Select(c => new { c.Id, c.MemberId, Member = c.Member.DisplayName, c.ProjectId, Project = (string?)c.Project!.Name, c.DueOn, c.CreatedAt, c.TakenMg, c.AtHomeMg, c.LotId, c.Lot })
                .PageAsync(page, act.Cancellation);
            Dictionary<Guid, LotView> lots = await LotsAsync(act, rows.Items.Select(r => r.LotId));
            return rows.Select(r => new AtHome(r.Id, r.MemberId, r.Member, r.ProjectId, r.Project, r.DueOn, r.DueOn < today, r.CreatedAt, r.TakenMg, r.AtHomeMg,
                Sorting.LotTraitsOf.LengthOf(r.Lot, r.AtHomeMg)?.Low.Metres, lots[r.LotId]));
        }, cancellation);

    private static async Task<PageOf<WaitingRequest>> RequestsAsync(Act act, IQueryable<HoldRequest> requests, PageRequest page)
    {
        var rows = await requests
            .Where(r => r.Holds.Any(h => h.State == HoldState.Active && h.ExpiresAt > act.Now))
            .OrderBy(r => r.CreatedAt).ThenBy(r => r.Id)
            .Select(r => new
            {
                r.Id,
                r.Number,
                r.MemberId,
                Member = r.Member.DisplayName,
                r.ProjectId,
                Project = (string?)r.Project!.Name,
                r.Note,
                r.CreatedAt,
                Holds = r.Holds.Where(h => h.State == HoldState.Active && h.ExpiresAt > act.Now).Select(h => new { h.Id, h.Mg, h.WantedMetres, h.ExpiresAt, h.LotId, h.Lot }).ToList(),
            })
            .PageAsync(page, act.Cancellation);
        Dictionary<Guid, LotView> lots = await LotsAsync(act, rows.Items.SelectMany(r => r.Holds).Select(h => h.LotId));
        return rows.Select(r => new WaitingRequest(r.Id, r.Number, r.MemberId, r.Member, r.ProjectId, r.Project, r.Note, r.CreatedAt,
            [.. r.Holds.Select(h => new HoldLine(h.Id, h.Mg, h.WantedMetres, Sorting.LotTraitsOf.LengthOf(h.Lot, h.Mg)?.Low.Metres, h.ExpiresAt, lots[h.LotId]))
                .OrderBy(h => h.Lot.BinName, StringComparer.CurrentCultureIgnoreCase).ThenBy(h => h.Lot.BinCode, StringComparer.Ordinal)]));
    }

    private static async Task<Dictionary<Guid, LotView>> LotsAsync(Act act, IEnumerable<Guid> ids)
    {
        Guid[] distinct = [.. ids.Distinct()];
        return distinct.Length == 0
            ? []
            : (await LotViews.Rows(act.Db.Lots.Where(l => distinct.Contains(l.Id))).ToListAsync(act.Cancellation)).ToDictionary(r => r.Lot.Id, LotViews.From);
    }
}
