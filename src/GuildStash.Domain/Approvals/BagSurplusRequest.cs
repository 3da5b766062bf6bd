using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>A bag whose lots weigh far more than it did; approving closes it and books the surplus as weighing error.</summary>
/// <param name="BagNumber">Number of the bag, such as D-2026-0042/1.</param>
/// <param name="BagMg">Milligrams that the bag weighed at the door, net.</param>
/// <param name="LotsMg">Milligrams of its lots when it was asked for; more than <paramref name="BagMg"/>.</param>
/// <param name="Reason">What weighing the lots again showed.</param>
public sealed record BagSurplusRequest(string BagNumber, long BagMg, long LotsMg, string Reason)
{
    public long SurplusMg => LotsMg - BagMg;

    /// <summary>What would happen, in a sentence.</summary>
    public Phrase Sentence() => new("Bag {0} weighed {1}, its lots weigh {2}. It is closed, and {3} more are booked as weighing error.",
        BagNumber, Mass.FromMilligrams(BagMg), Mass.FromMilligrams(LotsMg), Mass.FromMilligrams(SurplusMg));

    /// <summary>What has changed since it was asked for; null when nothing has.</summary>
    /// <param name="surplusMg">By how much the lots weigh more than the bag now; zero where they don't.</param>
    public Phrase? Since(long surplusMg) => surplusMg == SurplusMg
        ? null
        : new("When this was asked for, the lots of bag {0} weighed {1} more than it did; now it is {2}.", BagNumber, Mass.FromMilligrams(SurplusMg), Mass.FromMilligrams(surplusMg));
}
