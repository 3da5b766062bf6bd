using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>One lot whose count lies beyond its tolerance.</summary>
/// <param name="LotCode">Without hyphen.</param>
/// <param name="DriftMg">What the counts of the lot add up to, where that is why it is asked for; else null.</param>
/// <param name="UpTo">The lot's latest movement when it was counted, in the order of writing; null in requests from before this was kept.</param>
public sealed record CountDifferenceLine(Guid LotId, string LotCode, long BookMg, long FoundMg, long ToleranceMg, long? DriftMg, long? UpTo = null)
{
    public long DifferenceMg => FoundMg - BookMg;

    public string Display => Codes.LotCode.Parse(LotCode).Value.Display;

    internal Phrase Sentence() => DriftMg is { } drift
        ? new("Lot {0}: {1} found, {2} in the books; within ± {3}, and its counts add up to {4}.", Display, Mass.FromMilligrams(FoundMg), Mass.FromMilligrams(BookMg), Mass.FromMilligrams(ToleranceMg), Mass.FromMilligrams(drift))
        : new("Lot {0}: {1} found, {2} in the books, beyond ± {3}.", Display, Mass.FromMilligrams(FoundMg), Mass.FromMilligrams(BookMg), Mass.FromMilligrams(ToleranceMg));
}

/// <summary>What a stock count found beyond its expected error; approving books the differences.</summary>
/// <param name="BinCode">Without hyphen.</param>
public sealed record CountDifferenceRequest(Guid CountId, string BinCode, IReadOnlyList<CountDifferenceLine> Lines)
{
    /// <summary>Lots that are named one by one; of more, only how many and their sum.</summary>
    private const int Named = 3;

    public Phrase Sentence() => Lines.Count switch
    {
        1 => Lines[0].Sentence(),
        <= Named => new(string.Join(' ', Enumerable.Range(0, Lines.Count).Select(i => $"{{{i}}}")), [.. Lines.Select(l => (object)l.Sentence())]),
        _ => new("{0} lots of bin {1} differ beyond their tolerance, together by {2}.", Lines.Count, Codes.BinCode.Parse(BinCode).Value.Display, Mass.FromMilligrams(Lines.Sum(l => l.DifferenceMg))),
    };

    /// <summary>What has changed in the books since it was asked for.</summary>
    /// <param name="bookMg">What the books have in the lots' bins now.</param>
    public IReadOnlyList<Phrase> Since(IReadOnlyDictionary<Guid, long> bookMg) =>
    [
        .. Lines.Where(l => bookMg.GetValueOrDefault(l.LotId) != l.BookMg).Select(l => new Phrase(
            "When lot {0} was counted, the books had {1} there; now they have {2}. The difference of {3} would be booked on that.",
            l.Display, Mass.FromMilligrams(l.BookMg), Mass.FromMilligrams(bookMg.GetValueOrDefault(l.LotId)), Mass.FromMilligrams(l.DifferenceMg))),
    ];
}
