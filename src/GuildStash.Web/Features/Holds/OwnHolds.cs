using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Holds;

/// <summary>
/// Which holds are somebody's own. Those of a kit that nobody makes yet stand in the name of whoever put it together, who neither wants its
/// yarn nor waits for it: they are nobody's until somebody says "I'll make this".
/// </summary>
internal static class OwnHolds
{
    /// <summary>Holds that run at the moment of the act and are somebody's own.</summary>
    public static IQueryable<Hold> Running(Act act)
    {
        IQueryable<Kit> nobodys = act.Db.Kits.Open(act.Db, act.Now);
        return act.Db.Holds.Where(h => h.State == HoldState.Active && h.ExpiresAt > act.Now && !nobodys.Any(k => k.RequestId == h.RequestId));
    }
}
