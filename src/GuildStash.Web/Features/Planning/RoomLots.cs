using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Sorting;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>A lot as the planner takes it, and as people look for it.</summary>
public sealed record ReadyLot(PlanLot Lot, PlannedLot Source);

/// <summary>
/// The room's free yarn for a plan, in one query: what may be reserved now. Closed, quarantined and unweighed lots are left out, and
/// those whose length nobody can tell; which recipient may have which lot is the planner's to say.
/// </summary>
internal static class RoomLots
{
    /// <summary>A lot's wish for its bin, and the most that its age may add; together at most <see cref="PlanLot.MostWish"/>. Judgement.</summary>
    private const int BinWish = 50;
    private const int AgeWish = 50;

    /// <summary>Three years on the shelf are old. Judgement.</summary>
    private const double OldDays = 3 * 365;

    public static async Task<List<ReadyLot>> ReadAsync(GuildDbContext db, PlanAsk ask, double safety, YardageRules rules, DateTimeOffset now, CancellationToken cancellation)
    {
        // Holds that ran out count as free, whether or not somebody has tidied up.
        var rows = await Chosen(db.Lots.AsNoTracking(), ask.Lots)
            .Select(l => new { Lot = l, BinCode = l.Bin.Code, BinName = l.Bin.Name, Lapsed = db.Holds.Where(h => h.LotId == l.Id && h.State == HoldState.Active && h.ExpiresAt <= now).Sum(h => h.Mg) })
            .Where(row => row.Lot.OnHandMg - row.Lot.HeldMg - row.Lot.QuarantinedMg + row.Lapsed > 0)
            .OrderBy(row => row.Lot.Code).Take(MostRead).ToListAsync(cancellation);
        HashSet<string> emptied = [.. ask.EmptyBins];
        List<ReadyLot> lots = new(rows.Count);
        foreach (var row in rows)
        {
            int wish = (emptied.Contains(row.BinCode) ? BinWish : 0) + (ask.OldestFirst ? Age(row.Lot, now) : 0);
            if (Of(row.Lot, row.Lot.OnHandMg - row.Lot.HeldMg - row.Lot.QuarantinedMg + row.Lapsed, wish, rules) is { } ready)
            {
                lots.Add(new(ready, new(
                    row.Lot.Id, ready.Code, ready.Mass.Milligrams, ready.Yarn.At(safety).MetresPer100Grams, row.Lot.WeightClass, row.Lot.ColourFamily, row.Lot.ColourHex, row.BinCode, row.BinName)));
            }
        }

        return lots;
    }

    /// <summary>One more than a plan takes, so that the planner says it is too many.</summary>
    private const int MostRead = 5_001;

    private static IQueryable<Lot> Chosen(IQueryable<Lot> lots, LotChoice choice)
    {
        lots = lots.Where(l => l.ClosedAt == null && l.QuarantineReason == null && l.MassKnown && l.MetresPer100gLow != null);
        if (choice.WeightClasses is { Count: > 0 })
        {
            WeightClass?[] classes = [.. choice.WeightClasses.Select(each => (WeightClass?)each)];
            lots = lots.Where(l => classes.Contains(l.WeightClass));
        }

        if (choice.ColourFamilies is { Count: > 0 })
        {
            ColourFamily?[] families = [.. choice.ColourFamilies.Select(each => (ColourFamily?)each)];
            lots = lots.Where(l => families.Contains(l.ColourFamily));
        }

        if (choice.Bins is { Count: > 0 })
        {
            string[] bins = [.. choice.Bins];
            lots = lots.Where(l => bins.Contains(l.Bin.Code));
        }

        if (choice.Fibres is { Count: > 0 })
        {
            string[] fibres = [.. choice.Fibres];
            lots = lots.Where(l => l.FibreCodes.Any(code => fibres.Contains(code)));
        }

        lots = choice.Washable ? lots.Where(l => l.MachineWashable == Tristate.Yes) : lots;
        return choice.WithoutConditions == Conditions.None ? lots : lots.Where(l => (l.Conditions & choice.WithoutConditions) == Conditions.None);
    }

    /// <summary>
    /// How long a lot is: the figures by which yarn is promised everywhere, and where they are of the rules in force the distribution
    /// behind them, which its evidence has.
    /// </summary>
    public static LotYarn? YarnOf(Lot lot, YardageRules rules)
    {
        YardageEstimate? estimate = lot.YardageEdition == rules.Edition && lot.ModelVersion == YardageEstimator.ModelVersion ? rules.Estimate(LotTraitsOf.Evidence(lot)) : null;
        return (estimate ?? LotTraitsOf.Stored(lot)) is { } known ? LotYarn.Of(known) : null;
    }

    /// <param name="free">Milligrams of it that are there to plan with.</param>
    /// <param name="wish">0 to <see cref="PlanLot.MostWish"/>.</param>
    /// <returns>Null where nobody can tell how long it is.</returns>
    public static PlanLot? Of(Lot lot, long free, int wish, YardageRules rules)
    {
        LotYarn? yarn = YarnOf(lot, rules);
        return yarn is null ? null : new()
        {
            Code = LotCode.Parse(lot.Code).Value.Display,
            Mass = Mass.Min(Mass.FromMilligrams(free), Mass.FromGrams((long)MassLimits.LotMaxGrams)),
            Yarn = yarn,
            WeightClass = lot.WeightClass,
            ColourFamily = lot.ColourFamily,
            Colour = lot.ColourHex is { } hex && Colour.Parse(hex) is { IsOk: true } colour ? colour.Value : null,
            Traits = LotTraitsOf.Traits(lot),
            DyeLot = lot.DyeLot.Length > 0 ? lot.DyeLot : null,
            Wish = wish,
        };
    }

    private static int Age(Lot lot, DateTimeOffset now) => (int)(AgeWish * Math.Clamp((now - lot.CreatedAt).TotalDays / OldDays, 0, 1));
}
