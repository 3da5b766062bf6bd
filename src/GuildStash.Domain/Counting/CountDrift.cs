namespace GuildStash.Domain.Counting;

/// <summary>What one count found against the books.</summary>
/// <param name="DifferenceMg">Found less books.</param>
/// <param name="BookVariance">Of the book figure, in mg².</param>
/// <param name="FoundVariance">Of the weighing alone, in mg².</param>
/// <param name="CountingVariance">Of what may be miscounted, in mg².</param>
public sealed record CountedDifference(long DifferenceMg, double BookVariance, double FoundVariance, double CountingVariance);

/// <summary>Differences of several counts together.</summary>
public sealed record DriftSum(int Counts, long SumMg, long ToleranceMg)
{
    /// <summary>One difference is no drift; from two on their sum may say what none says alone.</summary>
    public bool IsBeyond => Counts > 1 && Math.Abs(SumMg) > ToleranceMg;
}

/// <summary>Small differences that all go the same way: each within its tolerance, their sum beyond the sum's.</summary>
public static class CountDrift
{
    /// <summary>
    /// Counts of a lot, each of which was booked, so that the found mass is the next book figure. Then the errors of the counts
    /// between cancel: Σ(found − books) has the error of the first book figure, of the hand-overs between, and of the last count.
    /// </summary>
    /// <param name="counts">The oldest first, the present one last; at least one.</param>
    /// <param name="massMg">What the books have now.</param>
    public static DriftSum OfBooked(IReadOnlyList<CountedDifference> counts, long massMg, int moisturePerMille)
    {
        double variance = counts[0].BookVariance + counts[^1].FoundVariance + counts[^1].CountingVariance;
        for (int i = 1; i < counts.Count; i++)
        {
            variance += Math.Max(0, counts[i].BookVariance - counts[i - 1].FoundVariance);
        }

        return new DriftSum(counts.Count, counts.Sum(c => c.DifferenceMg), CountTolerance.Of(variance, massMg, moisturePerMille));
    }

    /// <summary>
    /// Counts of a whole bin, after which nothing was booked: each measures the same gap anew. The error of the books is in every one of
    /// them, those of the counts are each its own, and so is the weather: Σ has 3·√((n·σ)² + Σ s²) and √n times the moisture.
    /// </summary>
    /// <inheritdoc cref="OfBooked" path="/param"/>
    public static DriftSum OfUnbooked(IReadOnlyList<CountedDifference> counts, long massMg, int moisturePerMille)
    {
        double n = counts.Count;
        double variance = (n * n * counts[^1].BookVariance) + counts.Sum(c => c.FoundVariance + c.CountingVariance);
        double tolerance = (CountTolerance.Deviations * Math.Sqrt(variance)) + (Math.Sqrt(n) * CountTolerance.Moisture(massMg, moisturePerMille));
        return new DriftSum(counts.Count, counts.Sum(c => c.DifferenceMg), (long)Math.Round(tolerance));
    }
}
