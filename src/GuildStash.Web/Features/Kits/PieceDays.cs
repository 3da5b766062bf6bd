using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Days on which pieces were started, finished or handed on.</summary>
internal static class PieceDays
{
    /// <summary>Years back that somebody may still write pieces down for; a judgement that catches mistyped years.</summary>
    private const int MostYearsBack = 10;

    /// <summary>The day, by the guild's calendar; today where none was given. One in the future or long past goes into the check.</summary>
    public static async Task<DateOnly> TakeAsync(Act act, DateOnly? on, Check check)
    {
        DateOnly today = GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now);
        DateOnly day = on ?? today;
        check.That(day <= today && day >= today.AddYears(-MostYearsBack), "on", "{0} can't be the day; allowed is up to today and at most {1} years back.", day, MostYearsBack);
        return day;
    }
}
