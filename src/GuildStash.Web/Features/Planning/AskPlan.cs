using GuildStash.Data.Guild;
using GuildStash.Data.Projects;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Planning;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <param name="Name">Empty: one is made of what is asked.</param>
/// <param name="ProjectId">What the kits will be for, and whose rules hold for pieces that no project wants.</param>
/// <param name="BasisId">The plan of which something is changed.</param>
public sealed record PlanRequest(PlanPurpose Purpose, PlanAsk Ask, string? Name = null, Guid? ProjectId = null, Guid? BasisId = null);

public sealed record AskedPlan(Guid Id, string Number, PlanState State);

/// <summary>
/// Asks for a plan, which waits until a background job takes it up. What can't be planned at all is refused here, with the value
/// that is wrong; what the room lacks is the plan's own to say.
/// </summary>
public sealed class AskPlan(GuildWork work)
{
    /// <summary>Plans of one person that may wait or run at a time. Judgement.</summary>
    public const int MostOpen = 3;

    /// <summary>Channel on which the jobs of all nodes hear of plans to take up.</summary>
    public const string Channel = "plan_asked";

    public Task<Outcome<AskedPlan>> RunAsync(Guid by, PlanRequest input, CancellationToken cancellation) =>
        work.WriteAsync<AskedPlan>(by, Role.Member, async act => act.By.Role < LeastFor(input.Purpose)
            ? TooFar()
            : await AskAsync(act, input), cancellation);

    /// <summary>Asks the same once more, of the room as it is now.</summary>
    public Task<Outcome<AskedPlan>> AgainAsync(Guid by, Guid planId, CancellationToken cancellation) =>
        work.WriteAsync<AskedPlan>(by, Role.Member, async act =>
        {
            Plan? plan = await PlanViews.Seen(act).AsNoTracking().SingleOrDefaultAsync(p => p.Id == planId, act.Cancellation);
            return plan is null ? PlanViews.NotFound()
                : act.By.Role < LeastFor(plan.Purpose) ? TooFar()
                : await AskAsync(act, new(plan.Purpose, PlanJson.Read<PlanAsk>(plan.Ask), plan.Name, plan.ProjectId, plan.BasisId));
        }, cancellation);

    /// <summary>Asks what another plan asked, with something changed.</summary>
    public Task<Outcome<AskedPlan>> WhatIfAsync(Guid by, Guid planId, PlanChange change, CancellationToken cancellation) =>
        work.WriteAsync<AskedPlan>(by, Role.Member, async act =>
        {
            Plan? plan = await PlanViews.Seen(act).AsNoTracking().SingleOrDefaultAsync(p => p.Id == planId, act.Cancellation);
            if (plan is null)
            {
                return PlanViews.NotFound();
            }

            if (plan.Answer is not { } answer)
            {
                return Refusal.Conflict("plan-without-answer", "Plan {0} has no answer yet to compare with. Wait until it has one.", plan.Number);
            }

            Outcome<PlanAsk> changed = change.Apply(PlanJson.Read<PlanAsk>(plan.Ask), PlanJson.Read<PlanResult>(answer));
            return changed.IsOk
                ? await AskAsync(act, new(PlanPurpose.WhatIf, changed.Value, plan.Name, plan.ProjectId, plan.Id))
                : Outcome<AskedPlan>.Refused(changed.Refusals);
        }, cancellation);

    private static Refusal TooFar() => Refusal.Forbidden("A plan for a drive or for the whole guild is asked by those who work in the room. You can plan for yourself.");

    /// <summary>Who may ask for which plan.</summary>
    public static Role LeastFor(PlanPurpose purpose) => purpose switch
    {
        PlanPurpose.Wanted => Role.Coordinator,
        PlanPurpose.Drive => Role.Volunteer,
        _ => Role.Member,
    };

    /// <summary>The same inside an act, whoever acts.</summary>
    internal static Task<Outcome<AskedPlan>> WithinAsync(Act act, PlanRequest input) => AskAsync(act, input);

    private static async Task<Outcome<AskedPlan>> AskAsync(Act act, PlanRequest input)
    {
        PlanState[] open = [PlanState.Waiting, PlanState.Running];
        if (await act.Db.Plans.CountAsync(p => p.CreatedById == act.By.Id && open.Contains(p.State), act.Cancellation) >= MostOpen)
        {
            return Refusal.Conflict("plans-waiting", "{0} of your plans wait or are being sought. Stop one, or ask again when it is done.", MostOpen);
        }

        if (input.BasisId is { } basis && !await PlanViews.Seen(act).AnyAsync(p => p.Id == basis, act.Cancellation))
        {
            return Refusal.NotFound("There is no such plan.");
        }

        Project? project = null;
        if (input.ProjectId is { } projectId)
        {
            Outcome<Project> found = await OpenProject.FindAsync(act, projectId);
            if (!found.IsOk)
            {
                return Outcome<AskedPlan>.Refused(found.Refusals);
            }

            project = found.Value;
        }

        Check check = new();
        string name = check.Text(input.Name, "name", 150);
        PlanAsk ask = await AskRules.CheckAsync(act, input.Ask, check);
        Outcome<ReadyPieces> pieces = check.Failed ? check.Refuse<ReadyPieces>() : await PiecesAsync(act, ask, input);
        if (!pieces.IsOk)
        {
            return Outcome<AskedPlan>.Refused(pieces.Refusals);
        }

        Plan plan = await AddAsync(act, input, ask, name.Length > 0 ? name : NameOf(input, project, pieces.Value));
        return new AskedPlan(plan.Id, plan.Number, plan.State);
    }

    private static async Task<Plan> AddAsync(Act act, PlanRequest input, PlanAsk ask, string name)
    {
        int year = GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now).Year;
        Plan plan = new()
        {
            Number = Numbers.Format('P', year, await Numbers.NextAsync(act.Db, Numbers.Plans, year, act.Cancellation)),
            Name = name,
            Purpose = input.Purpose,
            ProjectId = input.ProjectId ?? (ask.Projects is [{ } only] ? only : null),
            BasisId = input.BasisId,
            Ask = PlanJson.Write(ask),
            CreatedAt = act.Now,
            CreatedById = act.By.Id,
        };
        act.Db.Plans.Add(plan);

        // Heard when this transaction is committed, and not at all when it is not.
        await act.Db.Database.ExecuteSqlAsync($"select pg_notify({Channel}, '')", act.Cancellation);
        return plan;
    }

    /// <summary>The pieces, or why there is nothing to plan: asked without lots, so that every wrong number is told before anything runs.</summary>
    private static async Task<Outcome<ReadyPieces>> PiecesAsync(Act act, PlanAsk ask, PlanRequest input)
    {
        Outcome<ReadyPieces> pieces = await new ReadyPiecesReader(act.Db, input.ProjectId, act.Now, act.Cancellation).ReadAsync(ask);
        if (!pieces.IsOk)
        {
            return pieces;
        }

        if (pieces.Value.Pieces.Count == 0)
        {
            return input.Purpose == PlanPurpose.Wanted && await IsWorthSayingAsync(act, pieces.Value) ? pieces : NothingToPlan(pieces.Value);
        }

        Outcome<PlanProblem> problem = PlanProblem.Create(new() { Pieces = [.. pieces.Value.Pieces.Select(each => each.Piece)], Safety = ask.Safety ?? 0.95, MinutesLimit = ask.MinutesLimit });
        return problem.IsOk ? pieces : Outcome<ReadyPieces>.Refused(problem.Refusals);
    }

    /// <summary>
    /// That the open projects lack nothing is an answer, which takes the place of an earlier one. Where all that is wanted is unknown,
    /// it is one only beside an earlier answer, which would go on naming what nobody wants any more.
    /// </summary>
    private static async Task<bool> IsWorthSayingAsync(Act act, ReadyPieces pieces) =>
        pieces.IsCovered || pieces.Unplanned.Count == 0 || await WantedYarns.Answered(act.Db).AnyAsync(act.Cancellation);

    internal static Refusal NothingToPlan(ReadyPieces pieces) => pieces switch
    {
        { IsCovered: true } => Refusal.Conflict("nothing-missing", "All that is wanted lies in kits or is made already, so there is nothing to plan."),
        { Unplanned: [{ } first, ..] } => Refusal.Conflict("no-needs-known",
            "Nobody has said what yarn \"{0}\" of {1} takes, so nothing can be planned for it. Choose a line of the piece book in the project's form.", first.Piece, first.Project),
        _ => Refusal.Invalid("pieces", "No piece was asked for. Choose a project, or pieces of the piece book."),
    };

    private static string NameOf(PlanRequest input, Project? project, ReadyPieces pieces)
    {
        string[] labels = [.. pieces.Pieces.Select(each => each.Source.Label).Distinct()];
        string name = input.Purpose == PlanPurpose.Wanted || (project is null && labels.Length == 0) ? ""
            : project?.Name ?? (pieces.Pieces.Select(each => each.Source.ProjectName).Distinct().ToArray() is [{ } only] ? only : string.Join(", ", labels));
        return name.Length <= 150 ? name : name[..149] + "…";
    }
}

/// <summary>What an ask can't say, beside what the planner itself refuses.</summary>
internal static class AskRules
{
    private const int MostChosen = 100;
    private const int MostBags = 5;

    /// <returns>The ask with its codes as they are kept.</returns>
    public static async Task<PlanAsk> CheckAsync(Act act, PlanAsk ask, Check check)
    {
        check.That(ask.Seconds is >= 0.1 and <= PlanAsk.MostSeconds, "seconds", "A search of {0} seconds: 0.1 to {1:N0} are allowed.", ask.Seconds, PlanAsk.MostSeconds);
        check.That(ask.Seconds <= PlanAsk.MostSecondsForMembers || act.By.Role >= Role.Volunteer, "seconds", "A search of {0} seconds: members may ask for up to {1}, since one plan at a time has the machine.", ask.Seconds, PlanAsk.MostSecondsForMembers);
        check.That(ask.Safety is null or (>= 0.5 and <= 0.99), "safety", "A safety of {0}: 0.5 (likely figures) to 0.99 is allowed, 0.95 is usual.", ask.Safety ?? 0);
        check.That(ask.Pieces.Count <= 200, "pieces", "{0:N0} kinds of pieces were given; at most {1} are allowed. Give alike pieces once, with the number wanted.", ask.Pieces.Count, 200);
        check.That(ask.Projects.Count <= ReadyPieces.MostProjects, "projects", "{0} projects were given; at most {1} are planned together.", ask.Projects.Count, ReadyPieces.MostProjects);
        check.That(ask.Pieces.All(each => each.More is >= 0 and <= 1_000), "pieces", "0 to {0:N0} pieces more can be asked for.", 1_000);
        check.That(ask.Bags.Count <= MostBags, "bags", "At most {0} bags can be thought of at a time.", MostBags);
        foreach (AskedBag bag in ask.Bags)
        {
            check.Take(MassLimits.LotMass(bag.Grams, "bags"));
            check.That(bag.Fibre is null || FibreTable.TryFind(bag.Fibre, out _), "bags", "\"{0}\" is not a known fibre code.", bag.Fibre ?? "");
        }

        LotChoice lots = ask.Lots;
        string? unknown = lots.Fibres.FirstOrDefault(code => !FibreTable.TryFind(code.Trim().ToUpperInvariant(), out _));
        check.That(unknown is null, "fibres", "\"{0}\" is not a known fibre code.", unknown ?? "");
        string[] bins = ReadBins(lots.Bins, "bins", check);
        string[] emptied = ReadBins(ask.EmptyBins, "emptyBins", check);
        await FindBinsAsync(act, bins, "bins", check);
        await FindBinsAsync(act, emptied, "emptyBins", check);
        return ask with
        {
            EmptyBins = emptied,
            Lots = lots with { Bins = bins, Fibres = [.. lots.Fibres.Select(code => code.Trim().ToUpperInvariant()).Distinct()] },
        };
    }

    private static string[] ReadBins(IReadOnlyList<string> codes, string field, Check check)
    {
        check.That(codes.Count <= MostChosen, field, "{0} bins were given; at most {1} are taken.", codes.Count, MostChosen);
        List<string> read = [];
        foreach (string code in codes.Take(MostChosen))
        {
            Outcome<BinCode> bin = BinCode.Parse(code);
            if (bin.IsOk)
            {
                read.Add(bin.Value.Value);
            }
            else
            {
                check.Add(bin.Refusal with { Field = field });
            }
        }

        return [.. read.Distinct()];
    }

    private static async Task FindBinsAsync(Act act, string[] codes, string field, Check check)
    {
        if (codes.Length == 0)
        {
            return;
        }

        List<string> known = await act.Db.Bins.Where(b => codes.Contains(b.Code)).Select(b => b.Code).ToListAsync(act.Cancellation);
        if (codes.Except(known).FirstOrDefault() is { } missing)
        {
            check.Add(Refusal.Invalid(field, "There is no bin {0}. Check the label.", BinCode.Parse(missing).Value.Display));
        }
    }
}
