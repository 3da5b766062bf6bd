using GuildStash.Domain.Quantities;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Domain.Tests.Relotting;

public sealed class SplitRulesTests
{
    private static readonly SplitSource Five = new("K7M4-P9U", 500_000, 0, 5, IsWhole: true);

    private static Mass Grams(decimal grams) => Mass.FromGrams(grams);

    [Fact]
    public void Part_ByWholeBalls_TakesTheirShareOfTheBooks()
    {
        Assert.Equal(new SplitPart(200_000, 2, 3, IsWeighed: false), SplitRules.Part(Five, null, 2).Value);

        // Computed: 100 001 mg / 3 = 33 333.67, rounded to the nearest milligram.
        Assert.Equal(33_334, SplitRules.Part(Five with { InBinMg = 100_001, Balls = 3 }, null, 1).Value.Mg);
    }

    [Fact]
    public void Part_ByGrams_LeavesTheBallsWhereTheyAre() =>
        Assert.Equal(new SplitPart(37_500, 1, 5, IsWeighed: true), SplitRules.Part(Five, Grams(37.5m), null).Value);

    [Fact]
    public void Part_ByBoth_IsWeighedAndCounted() =>
        Assert.Equal(new SplitPart(103_000, 1, 4, IsWeighed: true), SplitRules.Part(Five, Grams(103), 1).Value);

    [Theory]
    [InlineData(null, null, "invalid-value", "grams")]
    [InlineData(null, 5, "invalid-value", "balls")]
    [InlineData(null, 0, "invalid-value", "balls")]
    [InlineData(501, null, "not-enough-in-bin", "grams")]
    [InlineData(500, null, "split-takes-all", "grams")]
    public void Invalid_Part_IsRefusedBesideItsField(int? grams, int? balls, string rule, string field)
    {
        Refusal refusal = SplitRules.Part(Five, grams is { } g ? Grams(g) : null, balls).Refusal;
        Assert.Equal((rule, field), (refusal.Rule, refusal.Field));
    }

    [Fact]
    public void Part_WhenGramsArePromised_NeverTakesThem()
    {
        SplitSource held = Five with { HeldMg = 150_000 };
        Assert.True(SplitRules.Part(held, Grams(350), null).IsOk);
        Assert.Equal("held-more", SplitRules.Part(held, Grams(350.001m), null).Refusal.Rule);
        Assert.Contains("at most 350 g", SplitRules.Part(held, null, 4).Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Part_WhenSomeHasLeft_MustBeWeighed()
    {
        SplitSource opened = Five with { IsWhole = false };
        Assert.Contains("Weigh the part", SplitRules.Part(opened, null, 2).Refusal.ToString(), StringComparison.Ordinal);
        Assert.True(SplitRules.Part(opened, Grams(180), 2).IsOk);
    }

    [Fact]
    public void Known_DivisionsTogether_AddInQuadrature()
    {
        // Computed: √(3² + 4²) = 5 g; two scales that read to 1 g: √2 g, rounded up to a milligram.
        Assert.Equal(5_000, WeighingsTogether.Division(3_000, 4_000));
        Assert.Equal(1_415, WeighingsTogether.Division(1_000, 1_000, null));
        Assert.Null(WeighingsTogether.Division(null, null));
    }
}
