using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Printing;

/// <summary>Finds the gift behind a code or a written number.</summary>
public sealed class GiftFinder(GuildWork work)
{
    private const int LongestNumber = 20;

    /// <param name="typed">A bag's or a gift's key, or a gift's number such as D-2026-0042, in any case.</param>
    /// <returns>The gift's key.</returns>
    public Task<Outcome<Guid>> FindAsync(Guid by, string typed, CancellationToken cancellation) =>
        work.ReadAsync<Guid>(by, Role.Volunteer, async act =>
        {
            bool isKey = Guid.TryParse(typed, out Guid key);
            string number = typed.Trim().ToUpperInvariant();
            Guid? gift = isKey
                ? await act.Db.Donations.Where(d => d.Id == key || d.Bags.Any(b => b.Id == key)).Select(d => (Guid?)d.Id).SingleOrDefaultAsync(act.Cancellation)
                : number.Length <= LongestNumber && !number.Any(char.IsControl)
                    ? await act.Db.Donations.Where(d => d.Number == number).Select(d => (Guid?)d.Id).SingleOrDefaultAsync(act.Cancellation)
                    : null;
            return gift is { } found ? found : Refusal.NotFound("There is no such gift. Check the number on the sheet.");
        }, cancellation);
}
