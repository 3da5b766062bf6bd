using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>Holds a plan against the room as it is now, with its lots locked until the act ends.</summary>
internal sealed class PlanCheck(Act act, Plan plan, PlanResult result)
{
    /// <summary>Field of every refusal that says what has changed.</summary>
    public const string Field = "plan";

    /// <summary>A figure that is lower by less than this part is a rounding of what was kept.</summary>
    private const double Slack = 1e-6;

    private readonly List<Refusal> _changes = [];
    private Dictionary<string, PlannedLot> _planned = [];

    public Guid IdOf(string code) => _planned[code].Id;

    /// <returns>What has changed so that the plan no longer holds, lot by lot; empty when it does.</returns>
    public async Task<IReadOnlyList<Refusal>> LockAndCheckAsync()
    {
        HashSet<string> used = [.. result.Assignments.Select(each => each.Lot)];
        _planned = PlanJson.Read<List<PlannedLot>>(plan.Lots ?? "[]").Where(lot => used.Contains(lot.Code)).ToDictionary(lot => lot.Code);
        if (_planned.Values.FirstOrDefault(lot => !lot.IsThere) is not null)
        {
            return [Refusal.Conflict("plan-with-a-bag", "This plan takes yarn of a bag that nobody has given yet, so it can't become kits. It only shows what such a bag would do.")];
        }

        Dictionary<Guid, Project> projects = await ProjectsAsync();
        await WantedAsync();
        Dictionary<Guid, Lot> lots = (await LotLock.TakeAsync(act.Db, [.. _planned.Values.Select(lot => lot.Id)], act.Cancellation)).ToDictionary(lot => lot.Id);
        Dictionary<string, PlannedPiece> pieces = result.Made.ToDictionary(each => each.Name);
        foreach (IGrouping<string, PlannedYarn> ofLot in result.Assignments.GroupBy(each => each.Lot))
        {
            if (lots.TryGetValue(IdOf(ofLot.Key), out Lot? lot))
            {
                CheckLot(lot, ofLot.Key, [.. ofLot], pieces, projects);
            }
            else
            {
                _changes.Add(Changed("lot-gone", "Lot {0} is no longer in the books.", ofLot.Key));
            }
        }

        return _changes;
    }

    private void CheckLot(Lot lot, string code, PlannedYarn[] yarn, Dictionary<string, PlannedPiece> pieces, Dictionary<Guid, Project> projects)
    {
        PlannedPiece[] kinds = [.. yarn.Select(each => each.Piece).Distinct().Select(name => pieces[name])];
        IReadOnlyList<Refusal> barred = HoldRules.MayBePromised(lot, null, Field);
        Refusal[] rules = [.. kinds.Select(kind => kind.ProjectId).OfType<Guid>().Distinct().SelectMany(id => projects.TryGetValue(id, out Project? project) ? HoldRules.MayGoTo(lot, project, Field) : [])];
        RecipientRules own = yarn.Aggregate(RecipientRules.None, (all, each) => all | pieces[each.Piece].Rules | pieces[each.Piece].PartRules.GetValueOrDefault(each.Part));
        if (barred.Count > 0 || rules.Length > 0)
        {
            _changes.AddRange([.. barred, .. rules]);
            return;
        }

        _changes.AddRange(RecipientRuleBook.Check(own, LotTraitsOf.Traits(lot), code, kinds[0].Label).Select(refusal => refusal with { Field = Field }));
        long needed = yarn.Sum(each => each.Mg);
        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg;
        if (needed > free)
        {
            _changes.Add(Changed("not-enough-free", "Lot {0}: {1} of it are planned, and {2} are free now.", code, Mass.FromMilligrams(needed), Mass.FromMilligrams(Math.Max(0, free))));
        }
        else if (RoomLots.YarnOf(lot, act.Yardage) is not { } now || now.At(result.Safety).MetresPer100Grams < _planned[code].MetresPer100g * (1 - Slack))
        {
            _changes.Add(Changed("shorter-than-planned", "Lot {0} is reckoned shorter by now than when the plan was made, so its planned grams may not suffice.", code));
        }
    }

    private async Task<Dictionary<Guid, Project>> ProjectsAsync()
    {
        Guid[] ids = [.. result.Made.Where(each => each.Count > 0).Select(each => each.ProjectId).OfType<Guid>().Distinct()];
        Dictionary<Guid, Project> projects = await act.Db.Projects.AsNoTracking().Where(p => ids.Contains(p.Id)).ToDictionaryAsync(p => p.Id, act.Cancellation);
        _changes.AddRange(projects.Values.Where(p => p.ClosedAt is not null).Select(p => Changed("project-closed", "The project {0} was closed since.", p.Name)));
        return projects;
    }

    /// <summary>What a project wants may be in kits or made by now through somebody else's plan.</summary>
    private async Task WantedAsync()
    {
        PlannedPiece[] made = [.. result.Made.Where(each => each is { Count: > 0, WantedPieceId: not null })];
        Guid[] ids = [.. made.Select(each => each.WantedPieceId!.Value)];

        // Locked, so that two plans for the same piece are accepted one after the other.
        await act.Db.Database.ExecuteSqlAsync($"with locked as (select id from wanted_piece where id = any({ids}) order by id for no key update) select count(*) from locked", act.Cancellation);
        Dictionary<Guid, int> wanted = await act.Db.WantedPieces.Where(w => ids.Contains(w.Id)).ToDictionaryAsync(w => w.Id, w => w.Wanted, act.Cancellation);
        Dictionary<Guid, int> covered = await CoveredPieces.OfAsync(act.Db, ids, act.Now, act.Cancellation);
        foreach (PlannedPiece piece in made)
        {
            int since = covered.GetValueOrDefault(piece.WantedPieceId!.Value) - piece.Covered;
            if (!wanted.TryGetValue(piece.WantedPieceId.Value, out int number))
            {
                _changes.Add(Changed("no-longer-wanted", "{0} no longer wants \"{1}\".", piece.ProjectName ?? "", piece.Label));
            }
            else if (since > 0 && piece.Covered + since + piece.Count > number)
            {
                _changes.Add(Changed("covered-meanwhile", "{0} more of \"{1}\" lie in kits or are made since, and {2} are wanted in all.", since, piece.Label, number));
            }
        }
    }

    private static Refusal Changed(string rule, string text, params object[] arguments) => Refusal.Conflict(rule, text, arguments) with { Field = Field };
}
