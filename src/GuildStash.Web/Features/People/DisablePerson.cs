using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>Yarn that stays promised to a person whose account was switched off.</summary>
/// <param name="Lot">The lot's code as people write it.</param>
public sealed record OpenHold(string RequestNumber, string Lot, long Mg, DateTimeOffset ExpiresAt);

/// <summary>What a switched-off account leaves open; nothing of it is cancelled silently.</summary>
/// <param name="Holds">At most <see cref="DisablePerson.MostListed"/>, those that lapse first.</param>
/// <param name="HoldCount">All of them.</param>
/// <param name="AtHomeMg">Yarn the person still has at home, in milligrams.</param>
public sealed record DisabledPerson(Guid Id, string Name, IReadOnlyList<OpenHold> Holds, int HoldCount, long AtHomeMg);

/// <summary>
/// Switches an account off: no sign-in, no use case, no API token any more; open pages end within a minute. The name stays with
/// what the person did.
/// </summary>
public sealed class DisablePerson(GuildWork work)
{
    public const int MostListed = 50;

    public Task<Outcome<DisabledPerson>> RunAsync(Guid by, Guid personId, CancellationToken cancellation) =>
        work.WriteAsync<DisabledPerson>(by, Role.Administrator, async act =>
        {
            bool othersRemain = await Administrators.RemainWithoutAsync(act, personId);
            Person? person = await act.Db.People.SingleOrDefaultAsync(p => p.Id == personId, act.Cancellation);
            if (person is null)
            {
                return Refusal.NotFound("There is no such person.");
            }

            if (person is { Role: Role.Administrator, DisabledAt: null } && !othersRemain)
            {
                return Administrators.LastOne;
            }

            if (person.DisabledAt is null)
            {
                person.DisabledAt = act.Now;
                person.SecurityStamp = Guid.NewGuid().ToString();
                person.ConcurrencyStamp = Guid.NewGuid().ToString();
                await act.Db.ApiTokens.Where(t => t.PersonId == personId && t.RevokedAt == null)
                    .ExecuteUpdateAsync(set => set.SetProperty(t => t.RevokedAt, act.Now), act.Cancellation);
            }

            return await LeftOpenAsync(act, person);
        }, cancellation);

    private static async Task<DisabledPerson> LeftOpenAsync(Act act, Person person)
    {
        IQueryable<Hold> open = OwnHolds.Running(act).Where(h => h.Request.MemberId == person.Id);
        var holds = await open.OrderBy(h => h.ExpiresAt).Take(MostListed)
            .Select(h => new { h.Request.Number, h.Lot.Code, h.Mg, h.ExpiresAt }).ToListAsync(act.Cancellation);
        return new DisabledPerson(
            person.Id,
            person.DisplayName,
            [.. holds.Select(h => new OpenHold(h.Number, LotCode.Parse(h.Code).Value.Display, h.Mg, h.ExpiresAt))],
            await open.CountAsync(act.Cancellation),
            await act.Db.Checkouts.Where(c => c.MemberId == person.Id && c.ClosedAt == null).SumAsync(c => c.AtHomeMg, act.Cancellation));
    }
}

/// <summary>Switches an account on again, with the role and password it had. API tokens stay revoked.</summary>
public sealed class EnablePerson(GuildWork work)
{
    public Task<Outcome<string>> RunAsync(Guid by, Guid personId, CancellationToken cancellation) =>
        work.WriteAsync<string>(by, Role.Administrator, async act =>
        {
            Person? person = await act.Db.People.SingleOrDefaultAsync(p => p.Id == personId, act.Cancellation);
            if (person is null)
            {
                return Refusal.NotFound("There is no such person.");
            }

            person.DisabledAt = null;
            person.LockoutEnd = null;
            person.AccessFailedCount = 0;
            person.ConcurrencyStamp = Guid.NewGuid().ToString();
            return person.DisplayName;
        }, cancellation);
}
