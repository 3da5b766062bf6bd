using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <param name="Email">Tells two people of one name apart.</param>
public sealed record FoundPerson(Guid Id, string Name, string Email);

/// <summary>Who was found, and whether there are more than shown.</summary>
public sealed record FoundPeople(IReadOnlyList<FoundPerson> Items, bool More);

/// <summary>Finds people with an active account by a part of their name or the beginning of their address, for whoever works in the room.</summary>
public sealed class PeopleSearch(GuildWork work)
{
    public const int Most = 20;

    /// <param name="text">At least one character; nothing is found for none.</param>
    public Task<Outcome<FoundPeople>> RunAsync(Guid by, string? text, CancellationToken cancellation) =>
        work.ReadAsync<FoundPeople>(by, Role.Volunteer, async act =>
        {
            string typed = (text ?? "").Trim();
            if (typed.Length is 0 or > 100)
            {
                return new FoundPeople([], false);
            }

            string containing = LikePattern.Containing(typed);
            string beginning = LikePattern.Beginning(typed);
            List<FoundPerson> found = await act.Db.People
                .Where(p => p.DisabledAt == null && (EF.Functions.ILike(p.DisplayName, containing, LikePattern.EscapeSign) || EF.Functions.ILike(p.Email!, beginning, LikePattern.EscapeSign)))
                .OrderBy(p => p.DisplayName).ThenBy(p => p.Email)
                .Take(Most + 1)
                .Select(p => new FoundPerson(p.Id, p.DisplayName, p.Email ?? ""))
                .ToListAsync(act.Cancellation);
            return new FoundPeople([.. found.Take(Most)], found.Count > Most);
        }, cancellation);

    /// <summary>One person, for an address that names them.</summary>
    public Task<Outcome<FoundPerson>> OneAsync(Guid by, Guid personId, CancellationToken cancellation) =>
        work.ReadAsync<FoundPerson>(by, Role.Volunteer, async act =>
        {
            FoundPerson? person = await act.Db.People.Where(p => p.Id == personId && p.DisabledAt == null)
                .Select(p => new FoundPerson(p.Id, p.DisplayName, p.Email ?? "")).SingleOrDefaultAsync(act.Cancellation);
            return person is not null ? person : Refusal.NotFound("There is no such member with an active account.");
        }, cancellation);
}
