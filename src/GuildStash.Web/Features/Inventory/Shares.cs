namespace GuildStash.Web.Features.Inventory;

/// <summary>Shares that people can add up.</summary>
public static class Shares
{
    /// <summary>100.0 % in tenths of a percent.</summary>
    public const int Whole = 1000;

    /// <summary>
    /// Each value's share of their sum in tenths of a percent, rounded so that together they are exactly 100.0 %: all are rounded
    /// down, and what is missing goes to those that lost most (largest remainder; of equals the first). Each is less than
    /// one tenth of a percent from its exact share.
    /// </summary>
    /// <param name="values">Zero or more each.</param>
    /// <returns>All zero where the sum is zero.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A value is negative or not a number.</exception>
    public static int[] Tenths(IReadOnlyList<double> values)
    {
        if (values.Any(value => !(value >= 0)))
        {
            throw new ArgumentOutOfRangeException(nameof(values), "A share is of zero or more.");
        }

        double sum = values.Sum();
        int[] tenths = new int[values.Count];
        if (sum <= 0)
        {
            return tenths;
        }

        double[] exact = [.. values.Select(value => value / sum * Whole)];
        for (int i = 0; i < tenths.Length; i++)
        {
            tenths[i] = (int)Math.Floor(exact[i]);
        }

        IEnumerable<int> byLoss = Enumerable.Range(0, tenths.Length).Where(i => values[i] > 0).OrderByDescending(i => exact[i] - tenths[i]);
        foreach (int i in byLoss.Take(Whole - tenths.Sum()))
        {
            tenths[i]++;
        }

        return tenths;
    }
}
