using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>Which people are wanted.</summary>
/// <param name="Search">Part of a name or address; null or blank finds all.</param>
/// <param name="WithDisabled">Whether switched-off accounts are listed, after the others.</param>
public sealed record PeopleFilter(string? Search = null, bool WithDisabled = true);

/// <summary>A person with what they hold and have at home.</summary>
public sealed record PersonView(Guid Id, string Name, string Email, Role Role, DateTimeOffset CreatedAt, DateTimeOffset? DisabledAt, int OpenHolds, long AtHomeMg)
{
    public bool IsActive => DisabledAt is null;
}

/// <summary>Lists people and invitations for coordinators.</summary>
public sealed class PeopleReader(GuildWork work)
{
    private const int LongestSearch = 100;

    /// <summary>Active people first, by name.</summary>
    public Task<Outcome<PageOf<PersonView>>> ListAsync(Guid by, PeopleFilter filter, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<PersonView>>(by, Role.Coordinator, async act =>
        {
            Check check = new();
            string search = check.Text(filter.Search, "search", LongestSearch);
            if (page.Wrong() is { } wrong)
            {
                check.Add(wrong);
            }

            return check.Failed ? check.Refuse<PageOf<PersonView>>() : await PeopleAsync(act, search, filter.WithDisabled, page);
        }, cancellation);

    /// <summary>Invitations that were neither used nor withdrawn, the newest first.</summary>
    public Task<Outcome<PageOf<InvitationView>>> InvitationsAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<InvitationView>>(by, Role.Coordinator, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            var open = await act.Db.Invitations.Where(i => i.UsedAt == null && i.WithdrawnAt == null)
                .Join(act.Db.People, i => i.CreatedById, p => p.Id, (i, p) => new { Invitation = i, By = p })
                .OrderByDescending(x => x.Invitation.CreatedAt).ThenBy(x => x.Invitation.Id)
                .Select(x => new { x.Invitation.Id, x.Invitation.Role, x.Invitation.Note, x.By.DisplayName, x.Invitation.CreatedAt, x.Invitation.ExpiresAt, ByRole = x.By.Role, x.By.DisabledAt })
                .PageAsync(page, act.Cancellation);
            return open.Select(i => new InvitationView(
                i.Id, i.Role, i.Note, i.DisplayName, i.CreatedAt, i.ExpiresAt,
                i.ExpiresAt > act.Now && i.DisabledAt is null && InvitationRules.MayInvite(i.ByRole, i.Role)));
        }, cancellation);

    private static Task<PageOf<PersonView>> PeopleAsync(Act act, string search, bool withDisabled, PageRequest page)
    {
        IQueryable<Person> people = act.Db.People.Where(p => withDisabled || p.DisabledAt == null);
        if (search.Length > 0)
        {
            string pattern = LikePattern.Containing(search);
            people = people.Where(p => EF.Functions.ILike(p.DisplayName, pattern, LikePattern.EscapeSign) || EF.Functions.ILike(p.Email!, pattern, LikePattern.EscapeSign));
        }

        IQueryable<Hold> own = OwnHolds.Running(act);
        return people.OrderBy(p => p.DisabledAt != null).ThenBy(p => p.DisplayName).ThenBy(p => p.Id)
            .Select(p => new PersonView(
                p.Id, p.DisplayName, p.Email!, p.Role, p.CreatedAt, p.DisabledAt,
                own.Count(h => h.Request.MemberId == p.Id),
                act.Db.Checkouts.Where(c => c.MemberId == p.Id && c.ClosedAt == null).Sum(c => c.AtHomeMg)))
            .PageAsync(page, act.Cancellation);
    }
}
