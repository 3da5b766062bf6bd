using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Which kits are wanted.</summary>
/// <param name="Text">A part of the kit's number, of the piece, the project or the member's name.</param>
public sealed record KitFilter(KitState? State = null, Guid? ProjectId = null, Guid? PlanId = null, string? Text = null);

/// <summary>How many kits are in each state.</summary>
public sealed record KitCounts(int ToPack, int Packed, int AtHome, int Done, int PutBack)
{
    public int Of(KitState state) => state switch
    {
        KitState.ToPack => ToPack,
        KitState.Packed => Packed,
        KitState.AtHome => AtHome,
        KitState.Done => Done,
        _ => PutBack,
    };
}

/// <summary>Reads kits: all of them for volunteers; for members their own and those that nobody makes yet.</summary>
public sealed class KitReader(GuildWork work)
{
    /// <summary>Newest first.</summary>
    public Task<Outcome<PageOf<KitView>>> ListAsync(Guid by, KitFilter filter, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<KitView>>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            IQueryable<Kit> kits = Matching(act, filter);
            return await PageAsync(act, filter.State is { } state ? kits.In(state, act.Db, act.Now) : kits, page);
        }, cancellation);

    /// <summary>How many match the filter in each state; the filter's own state doesn't count.</summary>
    public Task<Outcome<KitCounts>> CountsAsync(Guid by, KitFilter filter, CancellationToken cancellation) =>
        work.ReadAsync<KitCounts>(by, Role.Volunteer, async act =>
        {
            int[] counts = new int[KitStates.Each.Count];
            foreach ((KitState state, _, _) in KitStates.Each)
            {
                counts[(int)state] = await Matching(act, filter).In(state, act.Db, act.Now).CountAsync(act.Cancellation);
            }

            return new KitCounts(counts[0], counts[1], counts[2], counts[3], counts[4]);
        }, cancellation);

    /// <summary>One kit by its number, in any case.</summary>
    public Task<Outcome<KitView>> OneAsync(Guid by, string number, CancellationToken cancellation) =>
        work.ReadAsync<KitView>(by, Role.Member, async act =>
        {
            string typed = (number ?? "").Trim().ToUpperInvariant();
            List<KitView> found = typed.Length is 0 or > 20
                ? []
                : await KitViews.ReadAsync(act, Visible(act).Where(k => k.Number == typed));
            return found is [{ } one] ? one with { ShortChances = await KitRisk.OfAsync(act, one), Endings = await KitEnding.WordsAsync(act, one) } : Refusal.NotFound("There is no such kit among those that you may see. Check the number on its label.");
        }, cancellation);

    /// <summary>The person's own kits that are not done, those at home first.</summary>
    public Task<Outcome<PageOf<KitView>>> MineAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<KitView>>(by, Role.Member, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            IQueryable<Kit> mine = act.Db.Kits.Where(k => k.Request.MemberId == act.By.Id && k.ReleasedAt == null);
            IQueryable<Kit> open = act.Db.Kits.Open(act.Db, act.Now);
            IQueryable<Kit> done = act.Db.Kits.In(KitState.Done, act.Db, act.Now);
            return await PageAsync(act, mine.Where(k => !open.Any(o => o.Id == k.Id) && !done.Any(d => d.Id == k.Id)), page);
        }, cancellation);

    /// <summary>Kits that nobody makes yet, oldest first.</summary>
    public Task<Outcome<PageOf<KitView>>> OpenAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<KitView>>(by, Role.Member, async act => page.Wrong() is { } wrong
            ? wrong
            : await PageAsync(act, act.Db.Kits.Open(act.Db, act.Now), page, oldestFirst: true), cancellation);

    private static IQueryable<Kit> Visible(Act act) => act.By.Role >= Role.Volunteer
        ? act.Db.Kits
        : act.Db.Kits.Where(k => k.Request.MemberId == act.By.Id || act.Db.Kits.Open(act.Db, act.Now).Any(o => o.Id == k.Id));

    private static IQueryable<Kit> Matching(Act act, KitFilter filter)
    {
        IQueryable<Kit> kits = act.Db.Kits;
        kits = filter.ProjectId is { } project ? kits.Where(k => k.ProjectId == project) : kits;
        kits = filter.PlanId is { } plan ? kits.Where(k => k.PlanId == plan) : kits;
        if (string.IsNullOrWhiteSpace(filter.Text))
        {
            return kits;
        }

        string words = LikePattern.Containing(filter.Text);
        return kits.Where(k => EF.Functions.ILike(k.Number, words, LikePattern.EscapeSign) || EF.Functions.ILike(k.PieceName, words, LikePattern.EscapeSign)
            || EF.Functions.ILike(k.Request.Member.DisplayName, words, LikePattern.EscapeSign)
            || act.Db.Projects.Any(p => p.Id == k.ProjectId && EF.Functions.ILike(p.Name, words, LikePattern.EscapeSign)));
    }

    private static async Task<PageOf<KitView>> PageAsync(Act act, IQueryable<Kit> kits, PageRequest page, bool oldestFirst = false)
    {
        int total = await kits.CountAsync(act.Cancellation);
        IOrderedQueryable<Kit> ordered = oldestFirst ? kits.OrderBy(k => k.CreatedAt).ThenBy(k => k.Id) : kits.OrderByDescending(k => k.CreatedAt).ThenByDescending(k => k.Id);
        List<KitView> views = await KitViews.ReadAsync(act, ordered.Skip((page.Page - 1) * page.PageSize).Take(page.PageSize));
        return new PageOf<KitView>(views, page.Page, page.PageSize, total);
    }
}
