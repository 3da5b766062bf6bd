using CsCheck;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Counts;

public class CountConversionTests
{
    private const double Relative = 1e-12;

    // Half a unit of the last figure printed.
    private const double FourDecimals = 0.00005;

    private static readonly Gen<CountSystem> AnySystem = Gen.Enum<CountSystem>();
    private static readonly Gen<LinearDensity> AnyDensity = Gen.Double[0, 6].Select(power => LinearDensity.FromMetresPer100Grams(Math.Pow(10, power)));

    // Hanks: 840 (cotton), 560 (worsted), 300 (lea, cut), 1600 (run) yd/lb; factors computed from 1 yd = 0.9144 m, 1 lb = 453.59237 g.
    [Theory]
    [InlineData("Ne", 840, 590.541, 1.693362, 185.188)]
    [InlineData("worsted", 560, 885.812, 1.128908, 123.459)]
    [InlineData("lea", 300, 1653.515, 0.604772, 66.139)]
    [InlineData("cut", 300, 1653.515, 0.604772, 66.139)]
    [InlineData("run", 1600, 310.034, 3.225451, 352.740)]
    [InlineData("Nm", 496.05, 1000, 1, 109.3613)]
    public void Known_CountOne(string system, double yardsPerPound, double tex, double nm, double yardsPer100Grams)
    {
        Assert.Equal(yardsPerPound, Convert(system, 1, "yd/lb"), 0.005);
        Assert.Equal(tex, Convert(system, 1, "tex"), 0.0005);
        Assert.Equal(nm, Convert(system, 1, "Nm"), 0.0000005);
        Assert.Equal(yardsPer100Grams, Convert(system, 1, "yd/100g"), 0.0005);
        Assert.Equal(1, Convert("yd/lb", yardsPerPound, system), 1e-5);
        Assert.Equal(1, Convert("tex", tex, system), 1e-5);
        Assert.Equal(1, Convert("Nm", nm, system), 1e-6);
        Assert.Equal(1, Convert("yd/100g", yardsPer100Grams, system), 1e-5);
    }

    // ISO 1144: tex = g/km, dtex = g/10 km, denier = g/9 km, so 9 den = 1 tex = 10 dtex; tex × Nm = 1000.
    [Theory]
    [InlineData("denier", 9, "tex", 1)]
    [InlineData("dtex", 10, "tex", 1)]
    [InlineData("tex", 1000, "Nm", 1)]
    [InlineData("Nm", 3, "m/100g", 300)]
    public void Known_MetricSystems(string from, double value, string to, double expected) => BothWays(from, value, to, expected, expected * Relative);

    // tex 30 is Nm 33.3: agricultural-college textile text.
    [Fact]
    public void Known_Tex30() => BothWays("tex", 30, "Nm", 33.3, 0.05);

    // Ne 30 is 177.16 den and 19.685 tex (computed). In print one finds the product Ne × denier as 0.5315 and Ne to Nm as 17: misprints.
    [Theory]
    [InlineData("denier", 177.16, 0.005)]
    [InlineData("tex", 19.685, 0.0005)]
    public void Known_Cotton30(string to, double expected, double tolerance) => BothWays("Ne", 30, to, expected, tolerance);

    // 20s cotton is 30s worsted and 56 lea: Brooks, Cotton Manufacturing.
    [Theory]
    [InlineData("worsted", 30)]
    [InlineData("lea", 56)]
    public void Known_Cotton20(string to, double expected) => BothWays("Ne", 20, to, expected, expected * Relative);

    // yd/lb × 0.2204623 = yd/100 g (computed).
    [Fact]
    public void Known_PoundsTo100Grams() => BothWays("yd/lb", 1000, "yd/100g", 220.4623, FourDecimals);

    [Fact]
    public void Roundtrip_AnySystemToAnyOther() => AnyDensity.Select(AnySystem, AnySystem).Sample((density, from, to) =>
    {
        double value = CountConversion.ValueOf(from, density);
        double there = CountConversion.Convert(from, value, to).Value;
        double back = CountConversion.Convert(to, there, from).Value;
        return there > 0 && double.IsFinite(there) && Math.Abs(back - value) <= Relative * value;
    });

    [Fact]
    public void Known_DirectSystemsGrowWithThickness() => AnyDensity.Select(AnyDensity, AnySystem).Where((a, b, _) => a < b).Sample((a, b, system) =>
        CountConversion.ValueOf(system, a) > CountConversion.ValueOf(system, b) == system.IsDirect());

    [Fact]
    public void Extreme_LimitsAsPrintedAreAllowed_BeyondThemIsNot() => Assert.All(Enum.GetValues<CountSystem>(), system =>
    {
        (double low, double high) = CountConversion.Range(system);
        Assert.True(CountConversion.Density(system, low).IsOk, $"{system} {low}");
        Assert.True(CountConversion.Density(system, high).IsOk, $"{system} {high}");
        Assert.False(CountConversion.Density(system, low * 0.998).IsOk, $"{system} {low}");
        Assert.False(CountConversion.Density(system, high * 1.002).IsOk, $"{system} {high}");
    });

    [Fact]
    public void Known_Ranges()
    {
        Assert.Equal((0.1, 100_000), CountConversion.Range(CountSystem.Tex));
        Assert.Equal((0.01, 10_000), CountConversion.Range(CountSystem.Metric));
        Assert.Equal((0.005906, 5905), CountConversion.Range(CountSystem.Cotton));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    [InlineData(double.Epsilon)]
    [InlineData(double.MaxValue)]
    public void Invalid_Value(double value) => Assert.All(Enum.GetValues<CountSystem>(), system =>
    {
        (double low, double high) = CountConversion.Range(system);
        Refused.With(CountConversion.Convert(system, value, CountSystem.Metric), "value", system.Name().ToString(), new Phrase("{0} to {1} is allowed", low, high).ToString());
    });

    [Fact]
    public void Extreme_AnyNumberGivesAFiniteCountOrARefusal() => Gen.Double.Select(AnySystem, AnySystem).Sample((value, from, to) =>
    {
        Outcome<double> converted = CountConversion.Convert(from, value, to);
        return converted.IsOk ? double.IsFinite(converted.Value) && converted.Value > 0 : converted.Refusals.Count == 1;
    });

    [Theory]
    [InlineData("Ne", CountSystem.Cotton)]
    [InlineData(" nm ", CountSystem.Metric)]
    [InlineData("NeK", CountSystem.Worsted)]
    [InlineData("den", CountSystem.Denier)]
    [InlineData("YD/LB", CountSystem.YardsPerPound)]
    public void Known_SystemKeys(string key, CountSystem system) => Assert.Equal(system, CountSystemTerms.Parse(key, "from").Value);

    [Fact]
    public void Roundtrip_SystemKeys()
    {
        Assert.Equal(["Ne", "worsted", "lea", "run", "cut", "Nm", "tex", "dtex", "denier", "m/100g", "yd/100g", "yd/lb"], CountSystemTerms.Keys);
        Assert.All(Enum.GetValues<CountSystem>(), system => Assert.Equal(system, CountSystemTerms.Parse(system.Key(), "from").Value));
    }

    [Theory]
    [InlineData("smoots")]
    [InlineData("")]
    [InlineData(null)]
    public void Invalid_System(string? key) => Refused.With(CountSystemTerms.Parse(key, "from"), "from", $"\"{key}\"", "Ne, worsted, lea, run, cut, Nm, tex");

    [Fact]
    public void Invalid_NoYarnHasNoCount() => Assert.Throws<InvalidOperationException>(() => CountConversion.ValueOf(CountSystem.Tex, default));

    private static void BothWays(string from, double value, string to, double expected, double tolerance)
    {
        Assert.Equal(expected, Convert(from, value, to), tolerance);
        Assert.Equal(value, Convert(to, expected, from), tolerance * value / expected * 1.001);
    }

    private static double Convert(string from, double value, string to) =>
        CountConversion.Convert(CountSystemTerms.Parse(from, "from").Value, value, CountSystemTerms.Parse(to, "to").Value).Value;
}
