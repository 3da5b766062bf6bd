using GuildStash.Data.Stock;
using GuildStash.Domain.Colours;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// Finds lots whose picked colour looks like another, nearest first. The database can't compute CIEDE2000, so it hands over key and
/// colour of the lots that the other filters leave, nothing else; only the page's own lots are read whole. Equal colours are compared
/// once: 50,000 lots come to a few megabytes and some tens of thousands of comparisons at most.
/// </summary>
public sealed class LotsNearColour(GuildWork work)
{
    /// <summary>Differences that still count as alike when nobody says; some way beyond what is just visible.</summary>
    public const double UsualDistance = 10;

    /// <summary>Black and white are 100 apart.</summary>
    public const double LargestDistance = 100;

    /// <param name="within">Largest CIEDE2000 difference, 0 to <see cref="LargestDistance"/>.</param>
    public Task<Outcome<PageOf<LotView>>> RunAsync(Guid by, LotFilter filter, Colour near, double within, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<LotView>>(by, Role.Member, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            if (!(within >= 0 && within <= LargestDistance))
            {
                return Refusal.Invalid("within", "A colour difference of {0} can't be asked for; allowed is 0 to {1}.", within, LargestDistance);
            }

            Outcome<IQueryable<Lot>> lots = await LotFilters.ApplyAsync(act, filter);
            return lots.IsOk
                ? await NearestAsync(act, lots.Value, near.Lab, within, page)
                : Outcome<PageOf<LotView>>.Refused(lots.Refusals);
        }, cancellation);

    private static async Task<PageOf<LotView>> NearestAsync(Act act, IQueryable<Lot> lots, Lab near, double within, PageRequest page)
    {
        var coloured = await lots.Where(l => l.ColourHex != null).Select(l => new { l.Id, Hex = l.ColourHex! }).ToListAsync(act.Cancellation);
        List<Guid> nearest = [.. coloured.GroupBy(l => l.Hex)
            .Select(g => (Distance: Distance(g.Key, near), Lots: g))
            .Where(g => g.Distance <= within)
            .OrderBy(g => g.Distance)
            .SelectMany(g => g.Lots.Select(l => l.Id).Order())];
        List<Guid> ids = nearest.Skip((page.Page - 1) * page.PageSize).Take(page.PageSize).ToList();
        Dictionary<Guid, LotView> views = (await LotViews.Rows(act.Db.Lots.Where(l => ids.Contains(l.Id))).ToListAsync(act.Cancellation))
            .ToDictionary(r => r.Lot.Id, r => LotViews.From(r, act.Yardage));
        return new PageOf<LotView>([.. ids.Where(views.ContainsKey).Select(id => views[id])], page.Page, page.PageSize, nearest.Count);
    }

    private static double Distance(string hex, Lab near) =>
        Colour.TryParse(hex, out Colour colour) ? ColourDifference.Ciede2000(colour.Lab, near) : double.PositiveInfinity;
}
