using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Domain.Tests.Quarantine;

public sealed class FreezerRulesTests
{
    private static readonly DateTimeOffset In = new(2026, 2, 1, 10, 0, 0, TimeSpan.Zero);

    /// <summary>A week at −20 °C, sealed, shut and thawed: National Park Service, Conserve O Gram 3/6 (1994), as museum practice.</summary>
    private static readonly FreezerReadings Good = new(In, In.AddDays(7), -24, -20, false, In.AddDays(8));

    [Fact]
    public void KnownProtocol_IsMinus20ForAWeekWithItsSource()
    {
        // −20 °C for 1 week, one cycle: National Park Service, Conserve O Gram 3/6 (1994).
        Assert.Equal((-20m, 7, 1), (QuarantineProtocol.Usual.FreezerMaxCelsius, QuarantineProtocol.Usual.FreezerDays, QuarantineProtocol.Usual.FreezerCycles));
        Assert.Contains("Conserve O Gram 3/6", QuarantineProtocol.Usual.Sentences[^1].ToString(), StringComparison.Ordinal);
        Assert.True(FreezerRules.Judge(QuarantineProtocol.Usual, Good).MeetsProtocol);
    }

    [Fact]
    public void KnownDomesticFreezer_OfMinus18_IsBelowProtocolHoweverLong()
    {
        // A domestic −18 °C freezer is warmer than every −20 °C protocol (computed).
        FreezerVerdict verdict = FreezerRules.Judge(QuarantineProtocol.Usual, Good with { Warmest = -18, Out = In.AddDays(300), ThawedAt = In.AddDays(301) });

        Assert.False(verdict.MeetsProtocol);
        Assert.Equal("The warmest reading was −18 °C; the protocol asks for −20 °C or colder all the time.", Assert.Single(verdict.Why).ToString());
    }

    [Theory]
    [InlineData(-20.0, true)]
    [InlineData(-19.9, false)]
    [InlineData(-40.0, true)]
    public void Judge_GoesByTheWarmestReadingAlone(double warmest, bool meets) =>
        Assert.Equal(meets, FreezerRules.Judge(QuarantineProtocol.Usual, Good with { Warmest = (decimal)warmest, Coldest = -60 }).MeetsProtocol);

    [Fact]
    public void Judge_EachShortcoming_IsSaid()
    {
        FreezerReadings poor = Good with { Warmest = null, Out = In.AddHours(167.9), Opened = true, ThawedAt = null };

        Assert.Equal(4, FreezerRules.Judge(QuarantineProtocol.Usual, poor).Why.Count);
        foreach (FreezerReadings one in new[] { Good with { Warmest = null }, Good with { Out = In.AddHours(167.9) }, Good with { Opened = true }, Good with { ThawedAt = null } })
        {
            Assert.Single(FreezerRules.Judge(QuarantineProtocol.Usual, one).Why);
        }
    }

    [Fact]
    public void Judge_UnderALongerWarmerProtocol_GoesByTheGuildsOwnFigures()
    {
        QuarantineProtocol own = QuarantineProtocol.Usual with { FreezerMaxCelsius = -18, FreezerDays = 14, FreezerSource = "Example Museum, leaflet 9" };

        Assert.False(FreezerRules.Judge(own, Good with { Warmest = -18 }).MeetsProtocol);
        Assert.True(FreezerRules.Judge(own, Good with { Warmest = -18, Out = In.AddDays(14), ThawedAt = In.AddDays(15) }).MeetsProtocol);
    }

    [Fact]
    public void InvalidReadings_AreRefusedAtTheirField()
    {
        DateTimeOffset now = In.AddDays(9);
        (FreezerReadings Run, string Field)[] wrong =
        [
            (Good with { Out = In }, "outAt"),
            (Good with { Out = now.AddMinutes(1), ThawedAt = null }, "outAt"),
            (Good with { ThawedAt = In.AddDays(6) }, "thawedAt"),
            (Good with { ThawedAt = now.AddMinutes(1) }, "thawedAt"),
            (Good with { Warmest = 41 }, "warmest"),
            (Good with { Coldest = -101 }, "coldest"),
            (Good with { Coldest = -19 }, "coldest"),
        ];

        Assert.Empty(FreezerRules.Check(Good, now));
        Assert.All(wrong, each => Assert.Equal(each.Field, Assert.Single(FreezerRules.Check(each.Run, now)).Field));
    }

    [Fact]
    public void ExtremeRuns_WarmerOrShorter_NeverBecomeBetter()
    {
        const int Seed = 20260301;
        Random random = new(Seed);
        for (int i = 0; i < 2000; i++)
        {
            QuarantineProtocol protocol = QuarantineProtocol.Usual with { FreezerMaxCelsius = -10 - random.Next(70), FreezerDays = 1 + random.Next(60) };
            FreezerReadings run = Good with { Warmest = -90 + random.Next(100), Out = In.AddHours(1 + random.Next(2000)), Coldest = null };
            FreezerReadings worse = run with { Warmest = run.Warmest + random.Next(20), Out = In + ((run.Out - In) * random.NextDouble()) };
            bool better = !FreezerRules.Judge(protocol, run).MeetsProtocol && FreezerRules.Judge(protocol, worse).MeetsProtocol;
            Assert.False(better, $"Seed {Seed}, step {i}: {run} / {worse} under {protocol}");
        }
    }

    // Wool, hair and silk are attacked, blends may be; cotton, linen and synthetics are not eaten (NC State Extension).
    [Theory]
    [InlineData(FibreConcern.Animal, "WO")]
    [InlineData(FibreConcern.Animal, "WM", "SE")]
    [InlineData(FibreConcern.Blend, "WO", "PA")]
    [InlineData(FibreConcern.Unknown)]
    [InlineData(FibreConcern.NotEaten, "CO")]
    [InlineData(FibreConcern.NotEaten, "PAN", "PES")]
    public void KnownConcern_OfFibres_PutsAnimalBlendAndUnknownFirst(FibreConcern concern, params string[] codes) =>
        Assert.Equal(concern, FibreConcerns.Of(FibreContent.Create(codes.Select(code => new FibreShare(code))).Value));
}
