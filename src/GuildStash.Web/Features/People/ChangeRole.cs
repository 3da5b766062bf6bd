using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>Gives a person another role. What they do next is judged by it; their open pages follow within a minute or two.</summary>
public sealed class ChangeRole(GuildWork work)
{
    public Task<Outcome<Role>> RunAsync(Guid by, Guid personId, Role role, CancellationToken cancellation) =>
        work.WriteAsync<Role>(by, Role.Administrator, async act =>
        {
            if (!Enum.IsDefined(role))
            {
                return Refusal.Invalid("role", "Choose a role.");
            }

            bool othersRemain = await Administrators.RemainWithoutAsync(act, personId);
            Person? person = await act.Db.People.SingleOrDefaultAsync(p => p.Id == personId, act.Cancellation);
            if (person is null)
            {
                return Refusal.NotFound("There is no such person.");
            }

            if (person is { Role: Role.Administrator, DisabledAt: null } && role != Role.Administrator && !othersRemain)
            {
                return Administrators.LastOne;
            }

            person.Role = role;
            person.ConcurrencyStamp = Guid.NewGuid().ToString();
            return role;
        }, cancellation);
}
