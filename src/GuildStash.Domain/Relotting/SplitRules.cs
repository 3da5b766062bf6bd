using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Relotting;

/// <summary>What the rules look at on a lot of which a part is to leave.</summary>
/// <param name="Code">The code for people.</param>
/// <param name="InBinMg">What lies in the lot's own bin.</param>
/// <param name="HeldMg">What of it is promised to members.</param>
/// <param name="Balls">How many balls, skeins, … it has.</param>
/// <param name="IsWhole">Nothing has left it for a member, for waste or elsewhere since it was sorted, so that its balls are all there.</param>
public sealed record SplitSource(string Code, long InBinMg, long HeldMg, int Balls, bool IsWhole);

/// <summary>The part that becomes a lot of its own.</summary>
/// <param name="Mg">Its milligrams.</param>
/// <param name="Balls">Its balls.</param>
/// <param name="BallsLeft">Balls that stay.</param>
/// <param name="IsWeighed">It was weighed; otherwise its mass is its balls' share of the books.</param>
public sealed record SplitPart(long Mg, int Balls, int BallsLeft, bool IsWeighed);

/// <summary>How much of a lot may become a lot of its own.</summary>
public static class SplitRules
{
    /// <summary>
    /// The part by its grams, by whole balls, or by both. By balls alone it is their share of what the books have, rounded to the nearest
    /// milligram, which stands only while all the balls are there.
    /// </summary>
    public static Outcome<SplitPart> Part(SplitSource lot, Mass? grams, int? balls)
    {
        if (grams is null && balls is null)
        {
            return Refusal.Invalid("grams", "Say how much becomes a lot of its own: its grams, its balls, or both.");
        }

        if (balls is { } count && (count < 1 || count >= lot.Balls))
        {
            return lot.Balls == 1
                ? Refusal.Invalid("balls", "Lot {0} is one ball. To take a part of it, weigh the part and enter its grams only.", lot.Code)
                : Refusal.Invalid("balls", "{0} balls can't leave lot {1}, which has {2}: 1 to {3} are allowed. To take all of it, put the lot into another bin.", count, lot.Code, lot.Balls, lot.Balls - 1);
        }

        if (grams is null && !lot.IsWhole)
        {
            return Refusal.Invalid("grams", "Some of lot {0} has left since it was sorted, so nobody knows what its balls weigh. Weigh the part and enter its grams.", lot.Code);
        }

        long mg = grams?.Milligrams ?? (long)Math.Round((decimal)lot.InBinMg * balls!.Value / lot.Balls);
        return MayLeave(lot, mg) is { } refusal ? refusal : new SplitPart(mg, balls ?? 1, lot.Balls - (balls ?? 0), grams is not null);
    }

    private static Refusal? MayLeave(SplitSource lot, long mg)
    {
        long free = lot.InBinMg - lot.HeldMg;
        return mg switch
        {
            <= 0 => Refusal.Invalid("grams", "Nothing would be in the new lot. Weigh the part and enter its grams."),
            _ when mg > lot.InBinMg => Refusal.Conflict("not-enough-in-bin", "{0} can't leave lot {1}: {2} are in its bin.", Mass.FromMilligrams(mg), lot.Code, Mass.FromMilligrams(lot.InBinMg)) with { Field = "grams" },
            _ when mg > free => Refusal.Conflict("held-more", "{0} of lot {1} are promised to members and stay; at most {2} can become a lot of its own.", Mass.FromMilligrams(lot.HeldMg), lot.Code, Mass.FromMilligrams(free)) with { Field = "grams" },
            _ when mg == lot.InBinMg => Refusal.Conflict("split-takes-all", "That is all of lot {0} in its bin. Put the whole lot into another bin instead.", lot.Code) with { Field = "grams" },
            _ => null,
        };
    }
}

/// <summary>How far weighings that were added or subtracted may be off together.</summary>
public static class WeighingsTogether
{
    /// <summary>
    /// The division of one weighing that is as unsure as all of these together: each is off by d/√6 (gross less tare, computed), and errors
    /// of different weighings add in quadrature, so it is √(Σ d²), rounded up to a milligram.
    /// </summary>
    /// <param name="divisions">Divisions in milligrams; null counts as exact.</param>
    /// <returns>Null where all count as exact.</returns>
    public static long? Division(params IEnumerable<long?> divisions)
    {
        double square = divisions.Sum(d => d is { } mg ? (double)mg * mg : 0);
        return square > 0 ? (long)Math.Ceiling(Math.Sqrt(square) - 1e-6) : null;
    }
}
