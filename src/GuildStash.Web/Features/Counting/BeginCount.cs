using GuildStash.Data.Counting;
using GuildStash.Data.Stock;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>Freezes a bin for whoever counts it. Whoever begins twice goes on with the same count.</summary>
public sealed class BeginCount(GuildWork work)
{
    public Task<Outcome<Guid>> RunAsync(Guid by, string? binCode, CancellationToken cancellation) =>
        work.WriteAsync<Guid>(by, Role.Volunteer, async act =>
        {
            Outcome<Bin> bin = await BinFinder.ByCodeAsync(act, binCode, "binCode");
            if (!bin.IsOk)
            {
                return Outcome<Guid>.Refused(bin.Refusals);
            }

            // Waits for whoever carries yarn in or out at this moment; the next one then finds the bin frozen.
            await act.Db.Database.ExecuteSqlAsync($"select 1 from bin where id = {bin.Value.Id} for update", act.Cancellation);
            BinCount? open = await act.Db.BinCounts.SingleOrDefaultAsync(c => c.BinId == bin.Value.Id && c.EndedAt == null, act.Cancellation);
            if (open is not null && open.LapsesAt > act.Now)
            {
                return open.BegunById == act.By.Id ? open.Id : await RunningCounts.FrozenAsync(act, open, bin.Value);
            }

            if (open is not null)
            {
                open.Outcome = CountOutcome.Lapsed;
                open.EndedAt = open.LapsesAt;
                await act.Db.SaveChangesAsync(act.Cancellation);
            }

            BinCount begun = new() { BinId = bin.Value.Id, BegunAt = act.Now, BegunById = act.By.Id, LapsesAt = CountRules.LapsesAt(act.Now) };
            act.Db.BinCounts.Add(begun);
            return begun.Id;
        }, cancellation);
}

/// <summary>Ends a count without a result, for instance one that was forgotten.</summary>
public sealed class LeaveCount(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid countId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            Outcome<BinCount> count = await RunningCounts.LockAsync(act, countId);
            if (!count.IsOk)
            {
                return Outcome<bool>.Refused(count.Refusals);
            }

            if (CountRules.MayEnd(await RunningCounts.RuleViewAsync(act, count.Value, count.Value.Bin), act.By.Id, act.By.Role) is { } refusal)
            {
                return refusal;
            }

            count.Value.Outcome = CountOutcome.LeftOff;
            CountBooking.End(act, count.Value);
            return true;
        }, cancellation);
}
