using GuildStash.Data.Intake;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>One line of the trail.</summary>
/// <param name="DonorName">Null: every donor.</param>
/// <param name="Person">Null: the operator of the machine.</param>
public sealed record DonorTrailLine(long Id, DateTimeOffset At, DonorTrailKind Kind, DonorTrailWay Way, bool WithContact, string? DonorName, string? Person);

/// <summary>Shows administrators who saw and who changed donors' data. As it names the donors, looking at it is noted, too.</summary>
public sealed class DonorTrailReader(GuildWork work, DonorTrail trail)
{
    private const int LongestSearch = 100;

    /// <summary>The newest first.</summary>
    /// <param name="person">Part of the name or address of whoever saw or changed; null or blank finds all.</param>
    public Task<Outcome<PageOf<DonorTrailLine>>> PageAsync(Guid by, string? person, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<DonorTrailLine>>(by, Role.Administrator, async act =>
        {
            Check check = new();
            string search = check.Text(person, "person", LongestSearch);
            if (page.Wrong() is { } wrong)
            {
                check.Add(wrong);
            }

            if (check.Failed)
            {
                return check.Refuse<PageOf<DonorTrailLine>>();
            }

            IQueryable<DonorTrailEntry> entries = act.Db.DonorTrail;
            if (search.Length > 0)
            {
                string like = LikePattern.Containing(search);
                IQueryable<Person> people = act.Db.People.Where(p =>
                    EF.Functions.ILike(p.DisplayName, like, LikePattern.EscapeSign) || EF.Functions.ILike(p.Email!, like, LikePattern.EscapeSign));
                entries = entries.Where(t => people.Any(p => p.Id == t.PersonId));
            }

            PageOf<DonorTrailLine> lines = await entries.OrderByDescending(t => t.Id).Select(t => new DonorTrailLine(
                t.Id, t.At, t.Kind, t.Way, t.Fields.Contains("contact"),
                act.Db.Donors.Where(d => d.Id == t.DonorId).Select(d => d.Name).FirstOrDefault(),
                act.Db.People.Where(p => p.Id == t.PersonId).Select(p => p.DisplayName).FirstOrDefault())).PageAsync(page, act.Cancellation);
            await trail.SawAnyAsync(act);
            return lines;
        }, cancellation);
}
