using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

internal static class Administrators
{
    public static Refusal LastOne => Refusal.Conflict("last-administrator", "This is the guild's last active administrator. Make another person administrator first.");

    /// <summary>
    /// Whether the guild keeps an active administrator without this person. All active administrators stay locked until the
    /// transaction ends, so that two of them can't take the right from each other at once.
    /// </summary>
    public static async Task<bool> RemainWithoutAsync(Act act, Guid personId)
    {
        List<Guid> active = await act.Db.Database.SqlQuery<Guid>(
            $"""select id as "Value" from person where role = 'Administrator' and disabled_at is null order by id for update""").ToListAsync(act.Cancellation);
        return active.Any(id => id != personId);
    }
}
