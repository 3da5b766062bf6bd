using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Domain.Tests.Yardage;

/// <summary>What is at hand for a lot of an invented room.</summary>
[Flags]
public enum AtHand
{
    None = 0,
    Class = 1,
    Wraps = 2,
    Gauge = 4,
    Count = 8,
    Band = 16,
    Sample = 32,
}

/// <summary>A lot whose truth is known.</summary>
internal sealed record InventedLot(YarnEvidence Evidence, double TrueMetres, Mass Weighed, Mass Division);

/// <summary>
/// A room drawn from the model's stated priors, or from elsewhere: a shifted constant and exponent of length against wraps, and
/// another spread. Errors are made as they happen: tapes, scales that round, people who count.
/// </summary>
/// <param name="isTableOfCounts">
/// The table's rows speak of yarn counted at so many wraps, as they do for a count alone; otherwise of the true wraps, which people miscount.
/// </param>
internal sealed class InventedRoom(int seed, double shift = 0, double slope = 0, double spread = 1, bool isTableOfCounts = false)
{
    private static readonly WeightClassTable Table = WeightClassTable.Default;
    private static readonly double[] NamingBySteps = [0.80, 0.09, 0.008, 0.002, 0.002, 0.002, 0.002, 0.002];

    private readonly Random _random = new(seed);

    public InventedLot Lot(AtHand kinds)
    {
        // Gauge names no lace (Craft Yarn Council), so that such lots are thicker.
        double wraps = Math.Exp(Uniform(Math.Log(1.6), Math.Log(kinds.HasFlag(AtHand.Gauge) ? 22.5 : 60)));
        Wraps counted = Counted(wraps);
        WeightClassRow row = Table.Row(Table.FromWraps(isTableOfCounts ? counted.PerInch : wraps));
        WeightClass named = Named(row.WeightClass, kinds);
        row = kinds.HasFlag(AtHand.Class) && ClassFour(row.WeightClass) && ClassFour(named) ? Table.Row(named) : row;
        // A lone name is taken at its word: the row is what the name has been found to mean.
        row = kinds.HasFlag(AtHand.Wraps) ? row : Table.Row(named);
        double x = Math.Log(kinds.HasFlag(AtHand.Wraps) ? wraps : Centre(row)) - Math.Log(10);
        double log = row.LogMean + shift + (slope * Math.Clamp(x, -1.2, 1.2)) + (spread * row.LogSd * Normal());
        double grams = Uniform(20, 400);
        Mass division = Mass.FromGrams(_random.Next(2) == 0 ? 1m : 5m);
        return new(Evidence(kinds, log, counted, named), Math.Exp(log) * grams / 100, Weighed(grams, division), division);
    }

    private YarnEvidence Evidence(AtHand kinds, double log, Wraps counted, WeightClass named) => new()
    {
        AssertedClass = kinds.HasFlag(AtHand.Class) ? named : null,
        Wraps = kinds.HasFlag(AtHand.Wraps) ? counted : null,
        Gauge = kinds.HasFlag(AtHand.Gauge) ? GaugeOf(log + (0.18 * Normal())) : null,
        Count = kinds.HasFlag(AtHand.Count) ? CountReading.Create(LinearDensity.FromMetresPer100Grams(Math.Exp(log + (0.05 * Normal()))), CountKind.Folded).Value : null,
        Band = kinds.HasFlag(AtHand.Band) ? Band.Create(Math.Round((decimal)Math.Exp(log + (0.025 * Normal())), 2), 100).Value : null,
        Sample = kinds.HasFlag(AtHand.Sample) ? SampleOf(log) : null,
    };

    private WeightClass Named(WeightClass actual, AtHand kinds)
    {
        if (!kinds.HasFlag(AtHand.Wraps))
        {
            return actual == WeightClass.Medium ? OfClassFour() : actual;
        }

        double[] weights = [.. Enumerable.Range(0, 8).Select(number => NamingBySteps[Math.Abs(number - actual.StandardNumber())])];
        double at = _random.NextDouble() * weights.Sum();
        int drawn = 0;
        while (drawn < 7 && (at -= weights[drawn]) > 0)
        {
            drawn++;
        }

        return drawn == 4 ? OfClassFour() : Enum.GetValues<WeightClass>().First(each => each.StandardNumber() == drawn);
    }

    private WeightClass OfClassFour() => (WeightClass)_random.Next((int)WeightClass.Worsted, (int)WeightClass.Medium + 1);

    private Wraps Counted(double wraps)
    {
        double byPerson = wraps * Math.Exp(0.05 * Normal());
        int inches = _random.Next(1, 3);
        decimal Once() => Math.Max(1, Math.Round((decimal)((byPerson * inches) + Uniform(-0.5, 0.5)), 2));
        return Wraps.Create(Once(), inches, [.. Enumerable.Range(0, _random.Next(3)).Select(_ => Once())]).Value;
    }

    private Gauge GaugeOf(double log)
    {
        double low = 2, high = 60;
        while (high - low > 1e-9)
        {
            double middle = (low + high) / 2;
            (low, high) = DirectReading.FromGauge(Gauge.Create((decimal)middle).Value, Table).Log < log ? (middle, high) : (low, middle);
        }

        return Gauge.Create((decimal)low).Value;
    }

    /// <summary>40 yards by a tape that is right within 1 %, on the finest of three scales' divisions that makes at least 20.</summary>
    private WeighedSample SampleOf(double log)
    {
        const double metres = 40 * 0.9144;
        double grams = metres * (1 + Uniform(-0.01, 0.01)) * 100 / Math.Exp(log + (0.01 * Normal()));
        decimal division = new[] { 1m, 0.5m, 0.1m }[_random.Next(3)];
        while (grams < 21 * (double)division)
        {
            division /= 10;
        }

        return WeighedSample.Create((decimal)metres, Weighed(grams, Mass.FromGrams(division)).Grams, division, isDifference: true).Value;
    }

    /// <summary>Gross less tare, each rounded to the division.</summary>
    private Mass Weighed(double grams, Mass division)
    {
        double tare = Uniform(30, 60);
        double step = (double)division.Grams;
        return Mass.FromGrams((Math.Round((tare + grams) / step) - Math.Round(tare / step)) * step);
    }

    private double Uniform(double low, double high) => low + ((high - low) * _random.NextDouble());

    private double Normal() => Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());

    private static bool ClassFour(WeightClass each) => each.StandardNumber() == 4;

    private static double Centre(WeightClassRow row) => row.WeightClass switch
    {
        WeightClass.Lace => 22.5 * 1.25,
        WeightClass.Jumbo => 3,
        _ => Math.Sqrt(row.WrapsAbove * row.WrapsUpTo),
    };
}
