using GuildStash.Domain.Fibres;
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

    /// <summary>A count of the whole yarn, as in R 40 tex / 2.</summary>
    Resultant = 64,

    /// <summary>A name of thickness.</summary>
    TradeName = 128,

    /// <summary>A sample of 5 to 20 divisions of its scale, hardly worth its trouble.</summary>
    LightSample = 256,

    /// <summary>Fibres and their percentages.</summary>
    Fibres = 512,
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

    // g/cm³: Morton and Hearle, table 5.1; blends by volumes, computed: 1/(0.8/1.31 + 0.2/1.14) = 1.2721, 1/(0.5/1.52 + 0.5/1.19) = 1.3349.
    private static readonly (FibreContent Content, double Density)[] Yarns =
    [
        (Of(("WO", 100)), 1.31), (Of(("CO", 100)), 1.52), (Of(("CV", 100)), 1.49), (Of(("PAN", 100)), 1.19), (Of(("PES", 100)), 1.39),
        (Of(("WO", 80), ("PA", 20)), 1.2721), (Of(("CO", 50), ("PAN", 50)), 1.3349), (Of(("PP", 100)), 0.91),
    ];

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
        FibreContent fibres = FibreContent.Unknown;
        double bulk = 0;
        if (kinds.HasFlag(AtHand.Fibres))
        {
            (fibres, double density) = Yarns[_random.Next(Yarns.Length)];
            // Yarn follows its fibres' density by half, give or take a quarter.
            bulk = (0.5 + (0.25 * Normal())) * Math.Log(1.31 / density);
        }

        double log = row.LogMean + bulk + shift + (slope * Math.Clamp(x, -1.2, 1.2)) + (spread * row.LogSd * Normal());
        double grams = Uniform(20, 400);
        Mass division = Mass.FromGrams(_random.Next(2) == 0 ? 1m : 5m);
        return new(Evidence(kinds, log, bulk, counted, named) with { Fibres = fibres }, Math.Exp(log) * grams / 100, Weighed(grams, division), division);
    }

    private YarnEvidence Evidence(AtHand kinds, double log, double bulk, Wraps counted, WeightClass named) => new()
    {
        AssertedClass = kinds.HasFlag(AtHand.Class) ? named : null,
        Wraps = kinds.HasFlag(AtHand.Wraps) ? counted : null,
        Gauge = kinds.HasFlag(AtHand.Gauge) ? GaugeOf(log - bulk + (0.18 * Normal())) : null,
        Count = kinds.HasFlag(AtHand.Count) ? CountOf(log, 0.05, CountKind.Folded)
            : kinds.HasFlag(AtHand.Resultant) ? CountOf(log, 0.04, CountKind.Resultant)
            : kinds.HasFlag(AtHand.TradeName) ? CountOf(log, 0.20, CountKind.TradeName)
            : null,
        Band = kinds.HasFlag(AtHand.Band) ? Band.Create(Math.Round((decimal)Math.Exp(log + (0.025 * Normal())), 2), 100).Value : null,
        Sample = kinds.HasFlag(AtHand.Sample) ? SampleOf(log) : kinds.HasFlag(AtHand.LightSample) ? LightSampleOf(log) : null,
    };

    private CountReading CountOf(double log, double sd, CountKind kind) =>
        CountReading.Create(LinearDensity.FromMetresPer100Grams(Math.Exp(log + (sd * Normal()))), kind).Value;

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
        while (high - low > 1e-6)
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

        return WeighedSample.Create((decimal)metres, Weighed(grams, Mass.FromGrams(division)).Grams, division).Value;
    }

    /// <summary>As much as weighs 6 to 19 g on a scale that reads to 1 g, by the same tape.</summary>
    private WeighedSample LightSampleOf(double log)
    {
        double grams = Uniform(6, 19);
        double metres = grams / 100 * Math.Exp(log + (0.01 * Normal())) / (1 + Uniform(-0.01, 0.01));
        return WeighedSample.Create((decimal)metres, Weighed(grams, Mass.FromGrams(1)).Grams, 1).Value;
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

    private static FibreContent Of(params (string Code, decimal Percent)[] shares) => FibreContent.Create(shares.Select(share => new FibreShare(share.Code, share.Percent))).Value;

    private static bool ClassFour(WeightClass each) => each.StandardNumber() == 4;

    private static double Centre(WeightClassRow row) => row.WeightClass switch
    {
        WeightClass.Lace => 22.5 * 1.25,
        WeightClass.Jumbo => 3,
        _ => Math.Sqrt(row.WrapsAbove * row.WrapsUpTo),
    };
}
