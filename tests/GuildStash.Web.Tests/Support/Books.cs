using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Ledger;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>
/// Adds the movements up by hand and compares with what the database says, so that a fault in the triggers shows as well as one in a
/// use case.
/// </summary>
public static class Books
{
    /// <summary>Fails where a balance is not the sum of its movements, or where a place has less than nothing.</summary>
    public static async Task AssertCleanAsync(GuildDbContext db, CancellationToken cancellation)
    {
        List<Movement> movements = await db.Movements.AsNoTracking().OrderBy(m => m.Sequence).ToListAsync(cancellation);
        Dictionary<Place, long> places = Balances(movements);
        Assert.All(places, place => Assert.True(MayBeNegative(place.Key.Kind) || place.Value >= 0, $"{place.Key} has {place.Value} mg."));

        Assert.All(places.Where(p => p.Key.Kind == PlaceKind.Relotted), place => Assert.Equal(0, place.Value));

        List<Lot> lots = await db.Lots.AsNoTracking().Include(l => l.Bin).ToListAsync(cancellation);
        List<Hold> holds = await db.Holds.AsNoTracking().ToListAsync(cancellation);
        List<LotReturn> returns = await db.LotReturns.AsNoTracking().ToListAsync(cancellation);
        ILookup<Guid?, Movement> byLot = movements.ToLookup(m => m.LotId);
        Assert.All(lots, lot => AssertLot(
            lot, [.. byLot[lot.Id]], holds.Where(h => h.LotId == lot.Id && h.State == HoldState.Active).Sum(h => h.Mg),
            [.. returns.Where(r => r.LotId == lot.Id && r.SettledAt is null)], lots.Any(l => l.MergedIntoId == lot.Id)));
        await AssertBagsAsync(db, places, cancellation);
        await AssertCheckoutsAsync(db, movements, returns, cancellation);

        // The balances that the database keeps, with those of the places that it keeps none for: every gram is somewhere, once.
        long kept = lots.Sum(l => l.OnHandMg) + await db.Bags.SumAsync(b => b.UnsortedMg, cancellation) + await db.Checkouts.SumAsync(c => c.AtHomeMg, cancellation);
        Assert.Equal(0, kept + places.Where(p => !p.Key.IsInRoom && p.Key.Kind is not (PlaceKind.Bag or PlaceKind.Member)).Sum(p => p.Value));
    }

    private static void AssertLot(Lot lot, IReadOnlyList<Movement> movements, long held, IReadOnlyList<LotReturn> waiting, bool hasMerged)
    {
        Dictionary<Place, long> places = Balances(movements);
        long onHand = places.Where(p => p.Key.IsInRoom).Sum(p => p.Value);
        long quarantined = places.Where(p => p.Key.Kind == PlaceKind.Quarantine).Sum(p => p.Value);
        Assert.Equal((onHand, quarantined, held), (lot.OnHandMg, lot.QuarantinedMg, lot.HeldMg));

        // Grams change their lot on the way through Relotted, and what was taken home of a merged lot comes back to the one that is left.
        Assert.All(places.Where(p => p.Key.Kind != PlaceKind.Relotted && !(hasMerged && p.Key.Kind == PlaceKind.Member)),
            place => Assert.True(MayBeNegative(place.Key.Kind) || place.Value >= 0, $"Lot {lot.Code}: {place.Key} has {place.Value} mg."));
        Assert.True(lot.HeldMg + lot.QuarantinedMg <= lot.OnHandMg, $"Lot {lot.Code} promises more than it has.");
        Assert.True(lot.ClosedAt is null || lot.OnHandMg == 0, $"Lot {lot.Code} is closed with {lot.OnHandMg} mg.");

        // What does not wait for inspection lies in the bin that the lot names.
        Place bin = Place.Bin(lot.BinId, lot.Bin.IsQuarantine);
        long waitingThere = waiting.Where(r => r.QuarantineBinId == lot.BinId).Sum(r => r.Mg);
        Assert.Equal(onHand - waiting.Sum(r => r.Mg), places.GetValueOrDefault(bin) - waitingThere);
    }

    private static async Task AssertBagsAsync(GuildDbContext db, Dictionary<Place, long> places, CancellationToken cancellation)
    {
        var bags = await db.Bags.AsNoTracking().Select(b => new { b.Id, b.UnsortedMg, b.ClosedAt }).ToListAsync(cancellation);
        Assert.All(bags, bag => Assert.Equal(places.GetValueOrDefault(Place.Bag(bag.Id)), bag.UnsortedMg));
        Assert.All(bags.Where(b => b.ClosedAt is not null), bag => Assert.Equal(0, bag.UnsortedMg));
    }

    private static async Task AssertCheckoutsAsync(GuildDbContext db, IReadOnlyList<Movement> movements, IReadOnlyList<LotReturn> returns, CancellationToken cancellation)
    {
        ILookup<Guid?, Movement> byCheckout = movements.ToLookup(m => m.CheckoutId);
        foreach (Checkout checkout in await db.Checkouts.AsNoTracking().ToListAsync(cancellation))
        {
            List<Movement> own = [.. byCheckout[checkout.Id]];
            Assert.Equal(Balances(own).GetValueOrDefault(Place.Member(checkout.MemberId)), checkout.AtHomeMg);
            Assert.Equal(checkout.TakenMg, own.Where(m => m.Reason == MovementReason.HandedOver).Sum(m => m.Mg));
            Assert.Equal(returns.Where(r => r.CheckoutId == checkout.Id).Sum(r => r.Mg), own.Where(m => m.Reason == MovementReason.Returned).Sum(m => m.Mg));
            Assert.True(checkout.ClosedAt is null || checkout.AtHomeMg == 0, "A closed checkout has yarn at home.");
        }
    }

    private static Dictionary<Place, long> Balances(IEnumerable<Movement> movements)
    {
        Dictionary<Place, long> balances = [];
        foreach (Movement m in movements)
        {
            Place from = new(m.FromKind, m.FromId), to = new(m.ToKind, m.ToId);
            balances[from] = balances.GetValueOrDefault(from) - m.Mg;
            balances[to] = balances.GetValueOrDefault(to) + m.Mg;
        }

        return balances;
    }

    private static bool MayBeNegative(PlaceKind kind) => kind is PlaceKind.Donor or PlaceKind.Bag or PlaceKind.Adjustment;
}
