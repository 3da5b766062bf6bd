using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>A plan in a list.</summary>
/// <param name="Made">Pieces of its best answer so far; null where there is none.</param>
/// <param name="Kits">How many kits it became.</param>
public sealed record PlanLine(
    Guid Id, string Number, string Name, PlanPurpose Purpose, PlanState State, string? Project, string AskedBy, DateTimeOffset CreatedAt, DateTimeOffset? AcceptedAt, int? Made, int? Wanted, int Kits);

/// <summary>What shows whether a running plan has come further.</summary>
public sealed record PlanPulse(PlanState State, PlanStep? Step, bool IsStopAsked, DateTimeOffset? StartedAt, DateTimeOffset Now);

/// <summary>A kit that a plan became.</summary>
public sealed record PlanKit(Guid Id, string Number, string PieceName, int Pieces);

/// <summary>A plan with all that a page shows of it.</summary>
public sealed record PlanView
{
    public required Guid Id { get; init; }

    public required string Number { get; init; }

    /// <summary>Empty where the purpose says it all.</summary>
    public required string Name { get; init; }

    public required PlanPurpose Purpose { get; init; }

    public required PlanPulse Pulse { get; init; }

    public required PlanAsk Ask { get; init; }

    /// <summary>The best so far, or what it ended with.</summary>
    public PlanResult? Answer { get; init; }

    /// <summary>The lots that the answer names, by their codes.</summary>
    public IReadOnlyDictionary<string, PlannedLot> Lots { get; init; } = new Dictionary<string, PlannedLot>();

    /// <summary>Why it came to nothing.</summary>
    public IReadOnlyList<Phrase> Trouble { get; init; } = [];

    public Guid? ProjectId { get; init; }

    public string? Project { get; init; }

    public Guid? BasisId { get; init; }

    public string? BasisNumber { get; init; }

    public Guid AskedById { get; init; }

    public required string AskedBy { get; init; }

    public DateTimeOffset CreatedAt { get; init; }

    public DateTimeOffset? EndedAt { get; init; }

    public DateTimeOffset? AcceptedAt { get; init; }

    public IReadOnlyList<PlanKit> Kits { get; init; } = [];

    /// <summary>Whether who reads it may turn it into kits.</summary>
    public bool MayAccept { get; init; }

    /// <summary>Whether who reads it may ask for it once more.</summary>
    public bool MayAskAgain { get; init; }

    /// <summary>Rules that it does not ask; with any it can't become kits.</summary>
    public IReadOnlyList<LiftedRule> Lifted => PlanLifted.Of(Ask, Answer);

    /// <summary>Yarn of its answer is of a bag that nobody has given; then it can't either.</summary>
    public bool TakesAWishedBag => Answer?.Assignments.Any(each => Lots.TryGetValue(each.Lot, out PlannedLot? lot) && !lot.IsThere) ?? false;

    public bool IsOpen => Pulse.State is PlanState.Waiting or PlanState.Running;
}

/// <summary>Reads plans: one's own, and from volunteers on everybody's.</summary>
public sealed class PlanReader(GuildWork work)
{
    public Task<Outcome<PageOf<PlanLine>>> ListAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<PlanLine>>(by, Role.Member, async act => page.Wrong() is { } wrong ? wrong : await PlanViews.ListAsync(act, page), cancellation);

    public Task<Outcome<PlanView>> OneAsync(Guid by, Guid planId, CancellationToken cancellation) =>
        work.ReadAsync<PlanView>(by, Role.Member, async act =>
        {
            Plan? plan = await PlanViews.Seen(act).Include(p => p.Project).Include(p => p.CreatedBy).SingleOrDefaultAsync(p => p.Id == planId, act.Cancellation);
            return plan is null ? PlanViews.NotFound() : await PlanViews.OfAsync(act, plan);
        }, cancellation);

    /// <summary>Only what changes while it runs, for whoever asks every second.</summary>
    public Task<Outcome<PlanPulse>> PulseAsync(Guid by, Guid planId, CancellationToken cancellation) =>
        work.ReadAsync<PlanPulse>(by, Role.Member, async act =>
        {
            var row = await PlanViews.Seen(act).Where(p => p.Id == planId).Select(p => new { p.State, p.Progress, p.StopAskedAt, p.StartedAt }).SingleOrDefaultAsync(act.Cancellation);
            return row is null ? PlanViews.NotFound() : PlanViews.Pulse(row.State, row.Progress, row.StopAskedAt, row.StartedAt, act.Now);
        }, cancellation);

    /// <summary>What open projects lack, from the newest plan that was made for all of them.</summary>
    public Task<Outcome<WantedYarn>> WantedAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<WantedYarn>(by, Role.Member, async act => await WantedYarns.ReadAsync(act.Db, act.Cancellation), cancellation);
}

internal static class PlanViews
{
    public static Refusal NotFound() => Refusal.NotFound("There is no such plan.");

    /// <summary>The plans that a person may see.</summary>
    public static IQueryable<Plan> Seen(Act act) => act.Db.Plans.Where(p => act.By.Role >= Role.Volunteer || p.CreatedById == act.By.Id);

    /// <summary>Those of a list: of the plans for all open projects only the newest ones are kept in view.</summary>
    public static IQueryable<Plan> Listed(Act act) => Seen(act).AsNoTracking().Where(p => p.Purpose != PlanPurpose.Wanted
        || !act.Db.Plans.Any(newer => newer.Purpose == PlanPurpose.Wanted && newer.CreatedAt > p.CreatedAt && newer.Answer != null));

    public static async Task<PageOf<PlanLine>> ListAsync(Act act, PageRequest page)
    {
        PageOf<PlanLine> lines = await Listed(act).OrderByDescending(p => p.CreatedAt).ThenByDescending(p => p.Id).Select(p => new PlanLine(
            p.Id, p.Number, p.Name, p.Purpose, p.State, p.Project == null ? null : p.Project.Name, p.CreatedBy.DisplayName, p.CreatedAt, p.AcceptedAt, null, null, act.Db.Kits.Count(k => k.PlanId == p.Id)))
            .PageAsync(page, act.Cancellation);

        // The database takes the numbers out of the answers, so that a list does not carry whole ones.
        Guid[] ids = [.. lines.Items.Select(line => line.Id)];
        Dictionary<Guid, Numbers> numbers = await act.Db.Database.SqlQuery<Numbers>(
            $"""
             select id, (answer ->> 'count')::int as made, (answer ->> 'wanted')::int as wanted from plan where id = any({ids}) and answer is not null
             """).ToDictionaryAsync(row => row.Id, act.Cancellation);
        return lines.Select(line => numbers.TryGetValue(line.Id, out Numbers? found) ? line with { Made = found.Made, Wanted = found.Wanted } : line);
    }

    private sealed record Numbers(Guid Id, int Made, int Wanted);

    public static PlanPulse Pulse(PlanState state, string? progress, DateTimeOffset? stopAskedAt, DateTimeOffset? startedAt, DateTimeOffset now) =>
        new(state, progress is null ? null : PlanJson.Read<PlanStep>(progress), stopAskedAt is not null, startedAt, now);

    public static async Task<PlanView> OfAsync(Act act, Plan plan)
    {
        PlanResult? answer = plan.Answer is { } kept ? PlanJson.Read<PlanResult>(kept) : null;
        HashSet<string> named = answer is null ? [] : [.. answer.Assignments.Select(each => each.Lot), .. answer.Leftovers.Select(each => each.Lot), .. answer.Measure.Select(each => each.Lot)];
        return new()
        {
            Id = plan.Id,
            Number = plan.Number,
            Name = plan.Name,
            Purpose = plan.Purpose,
            Pulse = Pulse(plan.State, plan.Progress, plan.StopAskedAt, plan.StartedAt, act.Now),
            Ask = PlanJson.Read<PlanAsk>(plan.Ask),
            Answer = answer,
            Lots = plan.Lots is { } lots ? PlanJson.Read<List<PlannedLot>>(lots).Where(lot => named.Contains(lot.Code)).ToDictionary(lot => lot.Code) : new Dictionary<string, PlannedLot>(),
            Trouble = PlanTrouble.Read(plan.Trouble),
            ProjectId = plan.ProjectId,
            Project = plan.Project?.Name,
            BasisId = plan.BasisId,
            BasisNumber = plan.BasisId is { } basis ? await act.Db.Plans.Where(p => p.Id == basis).Select(p => p.Number).SingleOrDefaultAsync(act.Cancellation) : null,
            AskedById = plan.CreatedById,
            AskedBy = plan.CreatedBy.DisplayName,
            CreatedAt = plan.CreatedAt,
            EndedAt = plan.EndedAt,
            AcceptedAt = plan.AcceptedAt,
            MayAccept = await AcceptPlan.MayAcceptAsync(act, plan),
            MayAskAgain = act.By.Role >= AskPlan.LeastFor(plan.Purpose),
            Kits = plan.AcceptedAt is null ? [] : await act.Db.Kits.Where(k => k.PlanId == plan.Id).OrderBy(k => k.CreatedAt).ThenBy(k => k.Number)
                .Select(k => new PlanKit(k.Id, k.Number, k.PieceName, k.Pieces)).ToListAsync(act.Cancellation),
        };
    }
}
