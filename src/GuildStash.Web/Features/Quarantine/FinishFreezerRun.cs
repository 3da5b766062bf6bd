using GuildStash.Data.Guild;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Quarantine;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Quarantine;

/// <param name="WarmestCelsius">Null: there was no thermometer.</param>
/// <param name="Result">What was looked at and found; needed.</param>
/// <param name="SignsSeen">Live insects or webbing: everything in the run stays shut and is discarded.</param>
public sealed record FreezerResultInput(
    DateTimeOffset? OutAt, decimal? ColdestCelsius, decimal? WarmestCelsius, bool Opened, DateTimeOffset? ThawedAt, string? Result, bool SignsSeen);

/// <param name="Why">Why it is below the protocol; empty when it meets it.</param>
public sealed record FinishedRun(Guid Id, bool MeetsProtocol, bool SignsSeen, IReadOnlyList<string> Why);

/// <summary>Records what was read and found, and judges the run by the guild's protocol as it is now. Releases nothing.</summary>
public sealed class FinishFreezerRun(GuildWork work)
{
    public Task<Outcome<FinishedRun>> RunAsync(Guid by, Guid runId, FreezerResultInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => FinishAsync(act, runId, input), cancellation);

    private static async Task<Outcome<FinishedRun>> FinishAsync(Act act, Guid runId, FreezerResultInput input)
    {
        await act.Db.Database.ExecuteSqlAsync($"select 1 from freezer_run where id = {runId} for no key update", act.Cancellation);
        FreezerRun? run = await act.Db.FreezerRuns.Include(r => r.Loads).SingleOrDefaultAsync(r => r.Id == runId, act.Cancellation);
        if (run is null)
        {
            return Refusal.NotFound("There is no such freezer run.");
        }

        if (run.FinishedAt is not null)
        {
            return Refusal.Conflict("run-finished", "This freezer run is finished already. What was recorded stays; start another run.");
        }

        Check check = new();
        string result = check.Needed(input.Result, "result", 1000);
        check.That(input.OutAt is not null, "outAt", "Enter when the bags came out.");
        if (check.Failed)
        {
            return check.Refuse<FinishedRun>();
        }

        FreezerReadings readings = new(run.InAt, input.OutAt!.Value.ToUniversalTime(), Tenth(input.ColdestCelsius), Tenth(input.WarmestCelsius), input.Opened, input.ThawedAt?.ToUniversalTime());
        foreach (Refusal wrong in FreezerRules.Check(readings, act.Now))
        {
            check.Add(wrong);
        }

        if (check.Failed)
        {
            return check.Refuse<FinishedRun>();
        }

        QuarantineProtocol protocol = (await act.Db.Guilds.SingleAsync(act.Cancellation)).Protocol;
        FreezerVerdict verdict = FreezerRules.Judge(protocol, readings);
        Record(run, readings, protocol, verdict);
        run.Result = result;
        run.SignsSeen = input.SignsSeen;
        run.FinishedAt = act.Now;
        run.FinishedById = act.By.Id;
        if (input.SignsSeen)
        {
            await ShutAsync(act, run);
        }

        return new FinishedRun(run.Id, verdict.MeetsProtocol, run.SignsSeen, [.. verdict.Why.Select(w => w.ToString())]);
    }

    /// <summary>A reading is kept to a tenth, rounded to the warmer side, so that rounding never makes it cold enough.</summary>
    private static decimal? Tenth(decimal? celsius) => celsius is { } c && Math.Abs(c) < 1000 ? Math.Ceiling(c * 10) / 10 : celsius;

    private static void Record(FreezerRun run, FreezerReadings readings, QuarantineProtocol protocol, FreezerVerdict verdict)
    {
        run.OutAt = readings.Out;
        run.ColdestCelsius = readings.Coldest;
        run.WarmestCelsius = readings.Warmest;
        run.Opened = readings.Opened;
        run.ThawedAt = readings.ThawedAt;
        run.MeetsProtocol = verdict.MeetsProtocol;
        run.ProtocolMaxCelsius = protocol.FreezerMaxCelsius;
        run.ProtocolDays = protocol.FreezerDays;
        run.ProtocolSource = protocol.FreezerSource;
    }

    /// <summary>Insects were seen: what lay together stays shut together.</summary>
    private static async Task ShutAsync(Act act, FreezerRun run)
    {
        foreach (Guid bagId in run.Loads.Select(l => l.BagId).OfType<Guid>().Order())
        {
            if (await BagLock.TakeAsync(act.Db, bagId, act.Cancellation) is { ClosedAt: null } bag)
            {
                bag.Conditions |= Conditions.Insects;
                bag.QuarantineReason = QuarantineReason.SignsOfInsects;
                bag.QuarantinedAt ??= act.Now;
                bag.Version++;
            }
        }

        foreach (Lot lot in await LotLock.TakeAsync(act.Db, [.. run.Loads.Select(l => l.LotId).OfType<Guid>()], act.Cancellation))
        {
            lot.Conditions |= Conditions.Insects;
            if (lot.QuarantineReason is not null)
            {
                lot.QuarantineReason = QuarantineReason.SignsOfInsects;
            }

            lot.ChangedAt = act.Now;
            lot.ChangedById = act.By.Id;
            lot.Version++;
        }
    }
}
