using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <param name="PiecesInKit">For kinds that are not named in <paramref name="OfPiece"/>; 1 to 200.</param>
/// <param name="OfPiece">How many pieces of a kind lie in a kit together, by the piece's name in the plan.</param>
/// <param name="Days">Days until the kits' yarn is free again; the guild's, or until the project's deadline, when null.</param>
public sealed record AcceptInput(int PiecesInKit = 1, IReadOnlyDictionary<string, int>? OfPiece = null, int? Days = null);

public sealed record AcceptedKit(Guid Id, string Number, string RequestNumber, string PieceName, int Pieces);

public sealed record AcceptedPlan(Guid Id, string Number, IReadOnlyList<AcceptedKit> Kits);

/// <summary>
/// Turns a plan into kits, whose yarn is held: all of it or nothing. Whatever has changed since the plan was made is told lot by lot,
/// and then nothing is booked. Accepting a plan again answers with the kits that it became.
/// </summary>
public sealed class AcceptPlan(GuildWork work)
{
    /// <summary>Kits that one plan may become. Judgement: as many are not packed in a day.</summary>
    public const int MostKits = 500;
    public const int MostInKit = 200;

    public Task<Outcome<AcceptedPlan>> RunAsync(Guid by, Guid planId, AcceptInput input, CancellationToken cancellation) =>
        work.WriteAsync<AcceptedPlan>(by, Role.Member, async act =>
        {
            // Two who accept at the same moment wait for each other here.
            await act.Db.Database.ExecuteSqlAsync($"select id from plan where id = {planId} for update", act.Cancellation);
            Plan? plan = await PlanViews.Seen(act).Include(p => p.Project).SingleOrDefaultAsync(p => p.Id == planId, act.Cancellation);
            return plan is null ? PlanViews.NotFound()
                : !await MayAcceptAsync(act, plan) ? Refusal.Forbidden("A plan for a drive or for the room is accepted by a coordinator; you can accept a plan that you asked for yourself.")
                : plan.AcceptedAt is not null ? await KitsAsync(act, plan)
                : await AcceptAsync(act, plan, input);
        }, cancellation);

    /// <summary>A coordinator, or whoever asked for a plan that anybody may ask for; of "what if" the plan behind it decides.</summary>
    internal static async Task<bool> MayAcceptAsync(Act act, Plan plan)
    {
        if (act.By.Role >= Role.Coordinator)
        {
            return true;
        }

        PlanPurpose purpose = plan.Purpose;
        for (Guid? basis = plan.BasisId; purpose == PlanPurpose.WhatIf && basis is { } id;)
        {
            var before = await act.Db.Plans.Where(p => p.Id == id).Select(p => new { p.Purpose, p.BasisId }).SingleAsync(act.Cancellation);
            (purpose, basis) = (before.Purpose, before.BasisId);
        }

        return plan.CreatedById == act.By.Id && AskPlan.LeastFor(purpose) == Role.Member;
    }

    private static async Task<Outcome<AcceptedPlan>> KitsAsync(Act act, Plan plan) =>
        new AcceptedPlan(plan.Id, plan.Number, await act.Db.Kits.Where(k => k.PlanId == plan.Id).OrderBy(k => k.Number)
            .Select(k => new AcceptedKit(k.Id, k.Number, k.Request.Number, k.PieceName, k.Pieces)).ToListAsync(act.Cancellation));

    private static async Task<Outcome<AcceptedPlan>> AcceptAsync(Act act, Plan plan, AcceptInput input)
    {
        if (plan.State is PlanState.Waiting or PlanState.Running)
        {
            return Refusal.Conflict("plan-running", "Plan {0} is still being sought. Wait for it, or stop it to take the best so far.", plan.Number);
        }

        PlanResult? result = plan.Answer is { } answer ? PlanJson.Read<PlanResult>(answer) : null;
        if (result is not { Count: > 0 })
        {
            return Refusal.Conflict("plan-empty", "Plan {0} makes no piece, so there is nothing to put into kits.", plan.Number);
        }

        if (PlanLifted.Refuse(PlanJson.Read<PlanAsk>(plan.Ask), result, plan.Number) is { } lifted)
        {
            return lifted;
        }

        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        Check check = new();
        int days = Days(act, plan, guild, input, check);
        List<DraftKit> drafts = DraftKits.Of(result, input, check);
        if (check.Failed)
        {
            return check.Refuse<AcceptedPlan>();
        }

        PlanCheck now = new(act, plan, result);
        IReadOnlyList<Refusal> changes = await now.LockAndCheckAsync();
        return changes.Count > 0
            ? Outcome<AcceptedPlan>.Refused(changes)
            : await BookAsync(act, plan, drafts, now, guild, act.Now.AddDays(days));
    }

    /// <summary>Kits of a drive may wait until its deadline, since members fetch them over weeks; what one plans for oneself waits as long as any yarn.</summary>
    private static int Days(Act act, Plan plan, GuildSettings guild, AcceptInput input, Check check)
    {
        int most = act.By.Role >= Role.Volunteer ? RequestHolds.MostDays : RequestHolds.MostOwnDays(guild);
        int untilDeadline = plan.Project?.Deadline is { } deadline ? deadline.DayNumber - GuildClock.Today(guild, act.Now).DayNumber + 1 : 0;
        int days = input.Days ?? Math.Min(most, Math.Max(guild.HoldDays, act.By.Role >= Role.Volunteer ? untilDeadline : 0));
        check.That(days >= 1 && days <= most, "days", "A hold lasts 1 to {0} days; {1} were asked for.", most, days);
        return days;
    }

    private static async Task<Outcome<AcceptedPlan>> BookAsync(Act act, Plan plan, List<DraftKit> drafts, PlanCheck now, GuildSettings guild, DateTimeOffset expiresAt)
    {
        int year = GuildClock.Today(guild, act.Now).Year;
        long kitNumber = await Numbers.TakeAsync(act.Db, Numbers.Kits, year, drafts.Count, act.Cancellation);
        long requestNumber = await Numbers.TakeAsync(act.Db, Numbers.Requests, year, drafts.Count, act.Cancellation);
        List<AcceptedKit> made = [];
        foreach (DraftKit draft in drafts)
        {
            Kit kit = draft.Make(act, plan, now, expiresAt);
            kit.Number = Numbers.Format('K', year, kitNumber++);
            kit.Request.Number = Numbers.Format('R', year, requestNumber++);
            act.Db.Kits.Add(kit);
            made.Add(new(kit.Id, kit.Number, kit.Request.Number, kit.PieceName, kit.Pieces));
        }

        plan.AcceptedAt = act.Now;
        plan.AcceptedById = act.By.Id;
        plan.Version++;
        await act.Db.SaveChangesAsync(act.Cancellation);
        return new AcceptedPlan(plan.Id, plan.Number, made);
    }
}

/// <summary>A kit before it has a number.</summary>
internal sealed record DraftKit(PlannedPiece Piece, int Pieces, IReadOnlyList<PlannedYarn> Yarn)
{
    public Kit Make(Act act, Plan plan, PlanCheck now, DateTimeOffset expiresAt)
    {
        HoldRequest request = new() { Number = "", MemberId = act.By.Id, ProjectId = Piece.ProjectId, Note = "", CreatedAt = act.Now, CreatedById = act.By.Id };
        Kit kit = new()
        {
            Number = "",
            Request = request,
            RequestId = request.Id,
            PlanId = plan.Id,
            ProjectId = Piece.ProjectId,
            WantedPieceId = Piece.WantedPieceId,
            PieceId = Piece.PieceId,
            PieceName = Piece.Label,
            Pieces = Pieces,
            CreatedAt = act.Now,
            CreatedById = act.By.Id,
        };
        foreach (PlannedYarn yarn in Yarn)
        {
            Hold hold = new() { RequestId = request.Id, LotId = now.IdOf(yarn.Lot), Mg = yarn.Mg, CreatedAt = act.Now, ExpiresAt = expiresAt };
            request.Holds.Add(hold);
            kit.Lines.Add(new() { KitId = kit.Id, Hold = hold, HoldId = hold.Id, Position = kit.Lines.Count, Part = yarn.Part, PlannedMg = yarn.Mg, Metres = yarn.Metres });
        }

        return kit;
    }
}

internal static class DraftKits
{
    /// <summary>Neighbouring pieces of a kind together; what they take of one lot for one part is one line.</summary>
    public static List<DraftKit> Of(PlanResult result, AcceptInput input, Check check)
    {
        ILookup<string, PlannedYarn> byPiece = result.Assignments.ToLookup(each => each.Piece);
        List<DraftKit> kits = [];
        foreach (PlannedPiece piece in result.Made.Where(each => each.Count > 0))
        {
            int together = input.OfPiece?.GetValueOrDefault(piece.Name, input.PiecesInKit) ?? input.PiecesInKit;
            check.That(together is >= 1 and <= AcceptPlan.MostInKit, "piecesInKit", "{0} pieces in a kit: 1 to {1} are allowed.", together, AcceptPlan.MostInKit);
            if (check.Failed)
            {
                return [];
            }

            kits.AddRange(byPiece[piece.Name].GroupBy(each => (each.Index - 1) / together).Select(kit => new DraftKit(
                piece,
                kit.Select(each => each.Index).Distinct().Count(),
                [.. kit.GroupBy(each => (each.Part, each.Lot)).Select(line => line.First() with { Mg = line.Sum(each => each.Mg), Metres = line.Sum(each => each.Metres) })])));
        }

        check.That(kits.Count <= AcceptPlan.MostKits, "piecesInKit", "This would make {0:N0} kits; at most {1} are made at once. Put more pieces into each kit.", kits.Count, AcceptPlan.MostKits);
        DraftKit? largest = kits.MaxBy(kit => kit.Yarn.Count);
        check.That(largest is null || largest.Yarn.Count <= RequestHolds.MostLots, "piecesInKit",
            "A kit of \"{0}\" would take yarn of {1} lots; a request has at most {2}. Put fewer pieces into each kit.", largest?.Piece.Label ?? "", largest?.Yarn.Count ?? 0, RequestHolds.MostLots);
        return kits;
    }
}
