using System.Buffers;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>A lot in a total: its yarn and how much there is.</summary>
/// <param name="Estimate">Its estimate; the total draws on <see cref="YardageEstimate.Distribution"/>.</param>
/// <param name="Mass">Zero or more.</param>
/// <param name="ScaleDivision">Division of the scale it was weighed on; null counts as exact.</param>
public readonly record struct LotInTotal(YardageEstimate Estimate, Mass Mass, Mass? ScaleDivision = null);

/// <summary>What lots of a total have in common.</summary>
public sealed record TotalSettings
{
    private readonly double _sharedPart = 0.5;
    private readonly double _scaleLogSd;

    public static TotalSettings Default { get; } = new();

    /// <summary>
    /// The part of a class's log variance that all lots resting on the class share, since the table or the fibre may be off for all of
    /// them: one half, a judgement. 0 to 1.
    /// </summary>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public double SharedPart
    {
        get => _sharedPart;
        init => _sharedPart = Guard.InRange(value, 0, 1, nameof(SharedPart));
    }

    /// <summary>Systematic error of the one scale all lots were weighed on, as a standard deviation of ln: 0 to 0.1; 0 takes it as true.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Out of range.</exception>
    public double ScaleLogSd
    {
        get => _scaleLogSd;
        init => _scaleLogSd = Guard.InRange(value, 0, 0.1, nameof(ScaleLogSd));
    }

    /// <summary>Start of the pseudo-random order; the same lots and the same start give the same figures.</summary>
    public ulong Seed { get; init; } = 20_26;
}

/// <summary>
/// Low, likely and high of a set of lots, which are not the sums of the lots' own: errors of their own cancel in part, those of a
/// class they share don't. 16,384 seeded draws, each of them stratified, so that every source of error alone is met evenly (Latin
/// hypercube; McKay, Beckman and Conover, Technometrics 1979, from memory). Drawn are one factor for each class, the scale, and the two
/// dozen lots that are the most unsure; the many others enter with the mean they have under the drawn factors and a normal error.
/// </summary>
public static class LengthTotal
{
    internal const int Draws = 1 << 14;
    private const int Classes = 10;

    private static readonly double[] Normals = [.. Enumerable.Range(0, Draws).Select(i => NormalCurve.PointOf((i + 0.5) / Draws))];

    /// <exception cref="ArgumentOutOfRangeException">A mass or division is negative.</exception>
    public static LengthRange Of(IReadOnlyList<LotInTotal> lots, TotalSettings? settings = null)
    {
        settings ??= TotalSettings.Default;
        TotalSummary summary = new(settings.SharedPart);
        for (int i = 0; i < lots.Count; i++)
        {
            ArgumentOutOfRangeException.ThrowIfLessThan(lots[i].Mass, Mass.Zero, nameof(lots));
            ArgumentOutOfRangeException.ThrowIfLessThan(lots[i].ScaleDivision ?? Mass.Zero, Mass.Zero, nameof(lots));
            summary.Add(lots[i]);
        }

        if (summary.Lots == 0)
        {
            return default;
        }

        if (summary.Lots == 1 && settings.ScaleLogSd == 0)
        {
            LotInTotal only = summary.Drawn[0].Lot;
            return only.Estimate.LengthOf(only.Mass, only.ScaleDivision);
        }

        double[] totals = ArrayPool<double>.Shared.Rent(Draws);
        try
        {
            Span<double> drawn = totals.AsSpan(0, Draws);
            Draw(drawn, summary, settings);
            drawn.Sort();
            return new(At(drawn, 0.05), At(drawn, 0.5), At(drawn, 0.95));
        }
        finally
        {
            ArrayPool<double>.Shared.Return(totals);
        }
    }

    private static void Draw(Span<double> totals, TotalSummary summary, TotalSettings settings)
    {
        DrawOrder order = new(settings.Seed);
        double[][] factors = new double[Classes][];
        summary.Settle();
        totals.Clear();
        double own = Math.Sqrt(summary.OwnVariance);
        DrawOrder.Run rest = order.Next();
        for (int k = 0; k < Draws; k++)
        {
            totals[k] = summary.Sure + (own * Normals[rest.At(k)]);
        }

        foreach ((WeightClass weightClass, double mean, double sd) in summary.Shared())
        {
            double[] factor = factors[(int)weightClass] ??= Factor(order.Next());
            for (int k = 0; k < Draws; k++)
            {
                totals[k] += mean * Math.Exp((sd * factor[k]) - (sd * sd / 2));
            }
        }

        foreach (DrawnLot lot in summary.Drawn)
        {
            AddDrawn(totals, lot, factors, settings.SharedPart, order);
        }

        DrawOrder.Run scale = order.Next();
        for (int k = 0; k < Draws; k++)
        {
            totals[k] = Math.Max(0, totals[k]) * Math.Exp(settings.ScaleLogSd * Normals[scale.At(k)]);
        }
    }

    private static void AddDrawn(Span<double> totals, in DrawnLot lot, double[][] factors, double sharedPart, DrawOrder order)
    {
        LengthMixture length = lot.Length;
        double ofScale = Math.Log(1 + (lot.ScaleError * lot.ScaleError));
        DrawOrder.Run choice = order.Next();
        DrawOrder.Run error = order.Next();
        Span<double> upTo = stackalloc double[length.Count];
        Span<double> sharedSd = stackalloc double[length.Count];
        Span<double> ownSd = stackalloc double[length.Count];
        for (int c = 0; c < length.Count; c++)
        {
            LengthComponent part = length[c];
            upTo[c] = (c == 0 ? 0 : upTo[c - 1]) + (part.Weight * Draws);
            sharedSd[c] = part.ClassSd * Math.Sqrt(sharedPart);
            ownSd[c] = Math.Sqrt((part.Sd * part.Sd) - (sharedSd[c] * sharedSd[c]) + ofScale);
            factors[(int)part.WeightClass] ??= Factor(order.Next());
        }

        for (int k = 0; k < Draws; k++)
        {
            int c = 0;
            int at = choice.At(k);
            while (c < length.Count - 1 && at >= upTo[c])
            {
                c++;
            }

            LengthComponent part = length[c];
            double shared = sharedSd[c] * factors[(int)part.WeightClass][k];
            totals[k] += lot.Hundreds * Math.Exp(part.Mean + shared + (ownSd[c] * Normals[error.At(k)]) - (ofScale / 2));
        }
    }

    private static double[] Factor(DrawOrder.Run run)
    {
        double[] factor = new double[Draws];
        for (int k = 0; k < Draws; k++)
        {
            factor[k] = Normals[run.At(k)];
        }

        return factor;
    }

    private static Length At(ReadOnlySpan<double> sorted, double share)
    {
        double place = share * (sorted.Length - 1);
        int below = (int)place;
        return Length.FromMetres(sorted[below] + ((place - below) * (sorted[below + 1] - sorted[below])));
    }
}
