using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Quarantine;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Quarantine;

/// <param name="Freezer">Which freezer; may be empty.</param>
/// <param name="InAt">When the bags went in; now when empty.</param>
/// <param name="BagIds">Bags in quarantine; their lots in quarantine go in with them.</param>
/// <param name="LotIds">Single lots in quarantine.</param>
public sealed record FreezerRunInput(string? Freezer, DateTimeOffset? InAt, IReadOnlyList<Guid> BagIds, IReadOnlyList<Guid> LotIds);

/// <summary>Records that bags and lots in quarantine went into the freezer.</summary>
public sealed class StartFreezerRun(GuildWork work)
{
    public const int MostThings = 200;

    public Task<Outcome<Guid>> RunAsync(Guid by, FreezerRunInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => StartAsync(act, input), cancellation);

    private static async Task<Outcome<Guid>> StartAsync(Act act, FreezerRunInput input)
    {
        Check check = new();
        string freezer = check.Text(input.Freezer, "freezer", 100);
        DateTimeOffset inAt = (input.InAt ?? act.Now).ToUniversalTime();
        check.That(inAt <= act.Now, "inAt", "The bags can't go in in the future. Enter when they went in.");
        check.That(inAt > act.Now.AddYears(-1), "inAt", "That is more than a year ago. Enter when they went in.");
        int things = input.BagIds.Count + input.LotIds.Count;
        check.That(things >= 1, "loads", "Choose at least one bag or lot that is in quarantine.");
        check.That(things <= MostThings, "loads", "One run takes at most {0} bags and lots, and you chose {1}. Start another run for the rest.", MostThings, things);
        if (check.Failed)
        {
            return check.Refuse<Guid>();
        }

        // Bags in the order of their ids, then lots, as everybody locks them.
        FreezerRun run = new() { Freezer = freezer, InAt = inAt, StartedById = act.By.Id };
        List<Bag> bags = [];
        foreach (Guid id in input.BagIds.Distinct().Order())
        {
            if (await BagLock.TakeAsync(act.Db, id, act.Cancellation) is { ClosedAt: null, QuarantineReason: not null } bag)
            {
                bags.Add(bag);
            }
        }

        Guid[] bagIds = [.. bags.Select(b => b.Id)];
        List<Guid> lotIds = await act.Db.Lots.Where(l => (input.LotIds.Contains(l.Id) || bagIds.Contains(l.BagId)) && l.QuarantineReason != null && l.ClosedAt == null)
            .Select(l => l.Id).ToListAsync(act.Cancellation);
        List<Lot> lots = await LotLock.TakeAsync(act.Db, lotIds, act.Cancellation);
        check.That(bags.Count == input.BagIds.Distinct().Count() && input.LotIds.All(id => lots.Any(l => l.Id == id && l.QuarantineReason is not null)),
            "loads", "Something that was chosen is not in quarantine any more. Reload, then choose again.");
        foreach (string shut in bags.Where(b => ConditionRules.StaysShut(b.Conditions)).Select(b => $"{b.Donation.Number}/{b.Ordinal}")
            .Concat(lots.Where(l => ConditionRules.StaysShut(l.Conditions)).Select(l => LotCode.Parse(l.Code).Value.Display)))
        {
            check.Add(Refusal.Conflict("stays-shut", "{0} does not go into the freezer: mould or insects were noted on it. Seal it and discard it.", shut) with { Field = "loads" });
        }

        if (await act.Db.FreezerLoads.AnyAsync(l => l.Run.FinishedAt == null && (bagIds.Contains(l.BagId!.Value) || lotIds.Contains(l.LotId!.Value)), act.Cancellation))
        {
            check.Add(Refusal.Conflict("in-freezer", "Something that was chosen lies in another freezer run. Finish that run first.") with { Field = "loads" });
        }

        if (check.Failed)
        {
            return check.Refuse<Guid>();
        }

        run.Loads.AddRange(bags.Select(b => new FreezerLoad { RunId = run.Id, BagId = b.Id }));
        run.Loads.AddRange(lots.Select(l => new FreezerLoad { RunId = run.Id, LotId = l.Id }));
        act.Db.FreezerRuns.Add(run);
        return run.Id;
    }
}
