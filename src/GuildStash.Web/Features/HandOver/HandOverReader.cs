using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <summary>One promised lot of a request, with the lot as it stands.</summary>
/// <param name="MetresLow">Length that surely is in the promised mass, metres.</param>
/// <param name="WholeMg">What leaves if the lot leaves as a whole: this hold and what is free besides it.</param>
/// <param name="OthersMg">What others hold of the lot; while they do, it can't leave as a whole.</param>
/// <param name="ToleranceMg">How far scale and books may be apart when it leaves as a whole.</param>
public sealed record HoldLine(Guid HoldId, long Mg, double? WantedMetres, double? MetresLow, DateTimeOffset ExpiresAt, LotView Lot, long WholeMg, long OthersMg, long ToleranceMg);

/// <summary>The kit of a request.</summary>
/// <param name="IsNobodys">Nobody makes it yet: it is in the name of whoever put it together, and must not be handed over to them.</param>
public sealed record KitOfRequest(string Number, string PieceName, int Pieces, bool IsNobodys);

/// <summary>A member's request that waits to be handed over; its holds are in bin order.</summary>
public sealed record WaitingRequest(Guid Id, string Number, Guid MemberId, string MemberName, Guid? ProjectId, string? ProjectName, string Note, DateTimeOffset CreatedAt, IReadOnlyList<HoldLine> Holds)
{
    /// <summary>The kit that its yarn is for; null: none.</summary>
    public KitOfRequest? Kit { get; init; }

    /// <summary>When the first of its holds lapses.</summary>
    public DateTimeOffset LapsesAt => Holds.Min(h => h.ExpiresAt);
}

/// <summary>Yarn at a member's home.</summary>
public sealed record AtHome(
    Guid CheckoutId, Guid MemberId, string MemberName, Guid? ProjectId, string? ProjectName, DateOnly DueOn, bool IsLate, DateTimeOffset TakenAt, long TakenMg, long AtHomeMg, double? MetresLow, LotView Lot)
{
    /// <summary>Null: in none.</summary>
    public AtHomeKit? Kit { get; init; }
}

/// <summary>Leftovers that wait for inspection.</summary>
/// <param name="WasLookedAt">False: nobody looked when it came back. True: the conditions are what was noticed then.</param>
public sealed record WaitingReturn(Guid ReturnId, string MemberName, long Mg, DateTimeOffset CreatedAt, bool WasLookedAt, IReadOnlyList<string> Conditions, string BinCode, LotView Lot);

/// <summary>How much waits at the desk.</summary>
/// <param name="Late">Of what is at home, what is past its day.</param>
public sealed record DeskCounts(int Waiting, int AtHome, int Late, int Returns);

/// <summary>What waits at the hand-over desk, and what a member holds and has at home.</summary>
public sealed class HandOverReader(GuildWork work)
{
    /// <summary>Requests with holds that have not lapsed, oldest first.</summary>
    public Task<Outcome<PageOf<WaitingRequest>>> WaitingAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        WaitingAsync(by, null, page, cancellation);

    /// <summary>The same, of members, requests or lots that the words name.</summary>
    public Task<Outcome<PageOf<WaitingRequest>>> WaitingAsync(Guid by, string? query, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<WaitingRequest>>(by, Role.Volunteer, async act => page.Wrong() is { } wrong
            ? wrong
            : await RequestsAsync(act, Named(act, query), page), cancellation);

    /// <summary>One request: a member's own, or anybody's for a volunteer. For the pick-up slip.</summary>
    public Task<Outcome<WaitingRequest>> RequestAsync(Guid by, Guid requestId, CancellationToken cancellation) =>
        work.ReadAsync<WaitingRequest>(by, Role.Member, async act =>
        {
            IQueryable<HoldRequest> mine = act.Db.HoldRequests.Where(r => r.Id == requestId && (act.By.Role >= Role.Volunteer || r.MemberId == act.By.Id));
            PageOf<WaitingRequest> found = await RequestsAsync(act, mine, new PageRequest(1, 1));
            return found.Items is [{ } one] ? one : Refusal.NotFound("There is no such request with yarn still held.");
        }, cancellation);

    /// <summary>What the person holds; kits are shown as kits.</summary>
    public Task<Outcome<PageOf<WaitingRequest>>> MyRequestsAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<WaitingRequest>>(by, Role.Member, async act => page.Wrong() is { } wrong
            ? wrong
            : await RequestsAsync(act, act.Db.HoldRequests.Where(r => r.MemberId == act.By.Id && !act.Db.Kits.Any(k => k.RequestId == r.Id)), page), cancellation);

    /// <summary>What the person has at home, due first.</summary>
    public Task<Outcome<PageOf<AtHome>>> MyYarnAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        AtHomeAsync(by, Role.Member, (checkouts, act, _) => checkouts.Where(c => c.MemberId == act.By.Id), page, cancellation);

    /// <summary>What all members have at home, due first.</summary>
    /// <param name="query">A part of the member's name or of the lot's code, or the project's name; empty for all.</param>
    public Task<Outcome<PageOf<AtHome>>> AllAtHomeAsync(Guid by, string? query, bool onlyLate, PageRequest page, CancellationToken cancellation) =>
        AtHomeAsync(by, Role.Volunteer, (checkouts, _, today) => Named(checkouts, query).Where(c => !onlyLate || c.DueOn < today), page, cancellation);

    /// <summary>Leftovers that wait for inspection, oldest first.</summary>
    public Task<Outcome<PageOf<WaitingReturn>>> ReturnsAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<WaitingReturn>>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            var rows = await act.Db.LotReturns.Where(r => r.SettledAt == null).OrderBy(r => r.CreatedAt).ThenBy(r => r.Id)
                .Select(r => new { r.Id, Member = r.Checkout.Member.DisplayName, r.Mg, r.CreatedAt, r.Conditions, r.LotId, Bin = act.Db.Bins.Where(b => b.Id == r.QuarantineBinId).Select(b => b.Code).FirstOrDefault() }).PageAsync(page, act.Cancellation);
            Dictionary<Guid, LotView> lots = await LotsAsync(act, rows.Items.Select(r => r.LotId));
            return rows.Select(r => new WaitingReturn(r.Id, r.Member, r.Mg, r.CreatedAt, r.Conditions is not null, Domain.Intake.ConditionRules.Keys(r.Conditions ?? 0), r.Bin ?? "", lots[r.LotId]));
        }, cancellation);

    /// <summary>The numbers beside the desk's sections.</summary>
    public Task<Outcome<DeskCounts>> CountsAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<DeskCounts>(by, Role.Volunteer, async act =>
        {
            DateOnly today = await TodayAsync(act);
            return await act.Db.Guilds.Select(_ => new DeskCounts(
                act.Db.HoldRequests.Count(r => r.Holds.Any(h => h.State == HoldState.Active && h.ExpiresAt > act.Now)),
                act.Db.Checkouts.Count(c => c.ClosedAt == null),
                act.Db.Checkouts.Count(c => c.ClosedAt == null && c.DueOn < today),
                act.Db.LotReturns.Count(r => r.SettledAt == null))).SingleAsync(act.Cancellation);
        }, cancellation);

    private static async Task<DateOnly> TodayAsync(Act act) => GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now);

    private Task<Outcome<PageOf<AtHome>>> AtHomeAsync(
        Guid by, Role least, Func<IQueryable<Checkout>, Act, DateOnly, IQueryable<Checkout>> which, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<AtHome>>(by, least, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            DateOnly today = await TodayAsync(act);
            var rows = await which(act.Db.Checkouts.Where(c => c.ClosedAt == null), act, today).OrderBy(c => c.DueOn).ThenBy(c => c.Id)
                .Select(c => new { c.Id, c.MemberId, Member = c.Member.DisplayName, c.ProjectId, Project = (string?)c.Project!.Name, c.DueOn, c.CreatedAt, c.TakenMg, c.AtHomeMg, c.LotId, c.Lot, c.HoldId })
                .PageAsync(page, act.Cancellation);
            Dictionary<Guid, LotView> lots = await LotsAsync(act, rows.Items.Select(r => r.LotId));
            Dictionary<Guid, AtHomeKit> kits = await AtHomeKits.ReadAsync(act, rows.Items.Select(r => r.HoldId));
            return rows.Select(r => new AtHome(r.Id, r.MemberId, r.Member, r.ProjectId, r.Project, r.DueOn, r.DueOn < today, r.CreatedAt, r.TakenMg, r.AtHomeMg,
                Sorting.LotTraitsOf.LengthOf(r.Lot, r.AtHomeMg)?.Low.Metres, lots[r.LotId])
            {
                Kit = r.HoldId is { } hold ? kits.GetValueOrDefault(hold) : null,
            });
        }, cancellation);

    private static async Task<PageOf<WaitingRequest>> RequestsAsync(Act act, IQueryable<HoldRequest> requests, PageRequest page)
    {
        int tolerance = await act.Db.Guilds.Select(g => g.WeighingToleranceGrams).SingleAsync(act.Cancellation);
        IQueryable<Kit> nobodys = act.Db.Kits.Open(act.Db, act.Now);
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
                Kit = act.Db.Kits.Where(k => k.RequestId == r.Id).Select(k => new KitOfRequest(k.Number, k.PieceName, k.Pieces, nobodys.Any(o => o.Id == k.Id))).FirstOrDefault(),
                Holds = r.Holds.Where(h => h.State == HoldState.Active && h.ExpiresAt > act.Now)
                    .Select(h => new
                    {
                        h.Id,
                        h.Mg,
                        h.WantedMetres,
                        h.ExpiresAt,
                        h.LotId,
                        h.Lot,
                        OthersMg = act.Db.Holds.Where(o => o.LotId == h.LotId && o.Id != h.Id && o.State == HoldState.Active && o.ExpiresAt > act.Now).Sum(o => o.Mg),
                    }).ToList(),
            })
            .PageAsync(page, act.Cancellation);
        Dictionary<Guid, LotView> lots = await LotsAsync(act, rows.Items.SelectMany(r => r.Holds).Select(h => h.LotId));
        return rows.Select(r => new WaitingRequest(r.Id, r.Number, r.MemberId, r.Member, r.ProjectId, r.Project, r.Note, r.CreatedAt,
            [.. r.Holds.Select(h => new HoldLine(h.Id, h.Mg, h.WantedMetres, Sorting.LotTraitsOf.LengthOf(h.Lot, h.Mg)?.Low.Metres, h.ExpiresAt, lots[h.LotId],
                    h.Lot.OnHandMg - h.Lot.QuarantinedMg - h.OthersMg, h.OthersMg, WeighingTolerance.Of(tolerance, h.Lot.ScaleDivisionMg, h.Lot.OnHandMg - h.Lot.QuarantinedMg - h.OthersMg)))
                .OrderBy(h => h.Lot.BinName, StringComparer.CurrentCultureIgnoreCase).ThenBy(h => h.Lot.BinCode, StringComparer.Ordinal).ThenBy(h => h.Lot.Code, StringComparer.Ordinal)])
        {
            Kit = r.Kit,
        });
    }

    private static IQueryable<HoldRequest> Named(Act act, string? query)
    {
        if (Patterns(query) is not var (words, code))
        {
            return act.Db.HoldRequests;
        }

        return act.Db.HoldRequests.Where(r => EF.Functions.ILike(r.Member.DisplayName, words, LikePattern.EscapeSign) || EF.Functions.ILike(r.Number, words, LikePattern.EscapeSign)
            || act.Db.Kits.Any(k => k.RequestId == r.Id && EF.Functions.ILike(k.Number, words, LikePattern.EscapeSign))
            || r.Holds.Any(h => EF.Functions.ILike(h.Lot.Code, code)));
    }

    private static IQueryable<Checkout> Named(IQueryable<Checkout> checkouts, string? query)
    {
        if (Patterns(query) is not var (words, code))
        {
            return checkouts;
        }

        return checkouts.Where(c => EF.Functions.ILike(c.Member.DisplayName, words, LikePattern.EscapeSign) || EF.Functions.ILike(c.Project!.Name, words, LikePattern.EscapeSign) || EF.Functions.ILike(c.Lot.Code, code));
    }

    /// <summary>Patterns for words and for a code as typed from a label; the code's matches nothing where nothing of it could be one.</summary>
    private static (string Words, string Code)? Patterns(string? query)
    {
        string typed = (query ?? "").Trim();
        if (typed.Length == 0)
        {
            return null;
        }

        string code = new([.. typed.Where(char.IsAsciiLetterOrDigit)]);
        return (LikePattern.Containing(typed), code.Length == 0 ? "-" : "%" + code + "%");
    }

    private static async Task<Dictionary<Guid, LotView>> LotsAsync(Act act, IEnumerable<Guid> ids)
    {
        Guid[] distinct = [.. ids.Distinct()];
        return distinct.Length == 0
            ? []
            : (await LotViews.Rows(act.Db.Lots.Where(l => distinct.Contains(l.Id))).ToListAsync(act.Cancellation)).ToDictionary(r => r.Lot.Id, r => LotViews.From(r, act.Yardage));
    }
}
