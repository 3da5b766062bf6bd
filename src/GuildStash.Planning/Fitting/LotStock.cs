using GuildStash.Domain.Quantities;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Fitting;

/// <summary>A lot in the whole decimetres that the plan reckons with.</summary>
internal sealed class LotStock
{
    /// <summary>Less than this much of an opened lot is of no use to anybody: 20 g (the guild's question, judgement).</summary>
    public const int UsableGrams = 20;

    /// <summary>Keeps a whole decimetre whole after arithmetic.</summary>
    private const double Slack = 1e-6;
    private const double TenthMgInHundredGrams = 1_000_000;

    public LotStock(int index, PlanLot lot, double safety)
    {
        (Index, Lot) = (index, lot);
        Density = lot.Yarn.At(safety);
        double perDecimetre = TenthMgInHundredGrams / (Density.MetresPer100Grams * 10);
        Decimetres = (long)Math.Floor((Density.LengthOf(lot.Mass).Metres * 10) + Slack);
        UsableFrom = (long)Math.Ceiling((UsableGrams * 10_000 / perDecimetre) - Slack);
        TenthMg = Math.Max(1, (int)Math.Round(perDecimetre));
    }

    public int Index { get; }

    public PlanLot Lot { get; }

    /// <summary>At the plan's safety.</summary>
    public LinearDensity Density { get; }

    /// <summary>What it is good for, rounded down.</summary>
    public long Decimetres { get; }

    /// <summary>Decimetres that weigh 20 g, rounded up.</summary>
    public long UsableFrom { get; }

    /// <summary>Tenths of a milligram that a decimetre weighs, rounded; only the third stage's sum is made of them.</summary>
    public int TenthMg { get; }

    /// <summary>What counts as unusable once so much is taken; nothing where the lot stays closed.</summary>
    public long Unusable(long taken) => taken > 0 && Decimetres - taken is > 0 and var left && left < UsableFrom ? left * TenthMg : 0;

    /// <summary>A need, rounded up to whole decimetres, at least one.</summary>
    public static long NeedOf(Length length) => Math.Max(1, (long)Math.Ceiling((length.Metres * 10) - Slack));
}
