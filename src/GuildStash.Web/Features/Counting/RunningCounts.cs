using GuildStash.Data.Counting;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>Finds counts under way.</summary>
internal static class RunningCounts
{
    /// <summary>The count that has the bin frozen; null where there is none, or where it ran out.</summary>
    public static async Task<BinCount?> OfBinAsync(Act act, Guid binId)
    {
        BinCount? open = await act.Db.BinCounts.SingleOrDefaultAsync(c => c.BinId == binId && c.EndedAt == null, act.Cancellation);
        return open is not null && open.LapsesAt > act.Now ? open : null;
    }

    /// <summary>One count in nobody else's hands until the transaction ends; refused where it is ended.</summary>
    public static async Task<Outcome<BinCount>> LockAsync(Act act, Guid countId)
    {
        await act.Db.Database.ExecuteSqlAsync($"select 1 from bin_count where id = {countId} for no key update", act.Cancellation);
        BinCount? count = await act.Db.BinCounts.Include(c => c.Bin).Include(c => c.Lines).SingleOrDefaultAsync(c => c.Id == countId, act.Cancellation);
        return count switch
        {
            null => Refusal.NotFound("There is no such count."),
            { EndedAt: not null } => Refusal.Conflict("count-ended", "This count of bin {0} was ended already. Begin anew.", BinCode.Parse(count.Bin.Code).Value.Display),
            _ => count,
        };
    }

    /// <summary>The same, for whoever may enter weighings.</summary>
    public static async Task<Outcome<BinCount>> MineAsync(Act act, Guid countId)
    {
        Outcome<BinCount> count = await LockAsync(act, countId);
        return count.IsOk && CountRules.MayWeigh(await RuleViewAsync(act, count.Value, count.Value.Bin), act.By.Id, act.Now) is { } refusal ? refusal : count;
    }

    public static async Task<RunningCount> RuleViewAsync(Act act, BinCount count, Bin bin)
    {
        string by = await act.Db.People.Where(p => p.Id == count.BegunById).Select(p => p.DisplayName).SingleAsync(act.Cancellation);
        return new RunningCount(BinCode.Parse(bin.Code).Value.Display, count.BegunById, by, count.BegunAt, count.LapsesAt);
    }

    /// <summary>The sentence that somebody else counts here.</summary>
    public static async Task<Refusal> FrozenAsync(Act act, BinCount count, Bin bin)
    {
        RunningCount view = await RuleViewAsync(act, count, bin);
        Data.Guild.GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        string since = TimeZoneInfo.ConvertTime(view.BegunAt, GuildClock.Zone(guild)).ToString("HH:mm", System.Globalization.CultureInfo.InvariantCulture);
        return CountRules.IsFrozen(view.BinCode, view.BegunBy, since);
    }
}
