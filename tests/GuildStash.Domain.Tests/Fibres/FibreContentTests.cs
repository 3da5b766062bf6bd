using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Tests.Fibres;

public class FibreContentTests
{
    [Fact]
    public void Describe_WhenSeenOnTheBand_PercentagesAreCopied() =>
        Assert.Equal("80 % wool, 20 % polyamide", Content(("PA", 20), ("WO", 80)).Describe(FibreBasis.BandSeen).ToString());

    [Theory]
    [InlineData(FibreBasis.Unknown)]
    [InlineData(FibreBasis.VolunteerJudged)]
    [InlineData(FibreBasis.DonorSaid)]
    [InlineData(FibreBasis.TestConsistent)]
    public void Describe_WhenNotSeenOnABand_SaysBelieved(FibreBasis basis) =>
        Assert.Equal("believed to be wool, acrylic", Content(("WO", null), ("PAN", null)).Describe(basis).ToString());

    [Fact]
    public void Describe_WhenNoPercentageIsKnown_NoneIsPrinted() =>
        Assert.Equal("wool, acrylic", Content(("WO", null), ("PAN", null)).Describe(FibreBasis.BandSeen).ToString());

    [Theory]
    [InlineData(FibreBasis.Unknown)]
    [InlineData(FibreBasis.BandSeen)]
    public void Describe_WhenNothingIsKnown_SaysSo(FibreBasis basis)
    {
        Assert.Equal("fibre not known", FibreContent.Unknown.Describe(basis).ToString());
        Assert.Equal(FibreContent.Unknown, FibreContent.Create([]).Value);
        Assert.Equal(FibreContent.Unknown, FibreContent.Create(null).Value);
    }

    [Theory]
    [InlineData("WO", true, true, true)]
    [InlineData("WV", true, true, true)]
    [InlineData("WM", true, false, true)]
    [InlineData("SE", true, false, true)]
    [InlineData("CO", false, false, false)]
    [InlineData("PAN", false, false, false)]
    [InlineData("CV", false, false, false)]
    public void Known_WhatPestsAndRecipientsAskFor(string code, bool animal, bool wool, bool mayFeedPests)
    {
        FibreContent blend = Content(("PES", null), (code, null));
        Assert.Equal((animal, wool, mayFeedPests), (blend.HasAnimal, blend.HasWool, blend.MayFeedPests));
        Assert.False(blend.IsUnknown);
    }

    [Fact]
    public void Known_UnknownMayFeedPestsButClaimsNothing()
    {
        FibreContent unknown = FibreContent.Unknown;
        Assert.Equal((true, true, false, false, false), (unknown.IsUnknown, unknown.MayFeedPests, unknown.HasAnimal, unknown.HasWool, unknown.HasMetallic));
        Assert.True(Content(("ME", null)).HasMetallic);
    }

    [Fact]
    public void Known_EqualByContent_CodesInCapitalsLargestFirst()
    {
        FibreContent content = Content((" wo ", 80), ("pa", 20));
        Assert.Equal(Content(("PA", 20), ("WO", 80)), content);
        Assert.Equal(Content(("PA", 20), ("WO", 80)).GetHashCode(), content.GetHashCode());
        Assert.NotEqual(Content(("PA", 80), ("WO", 20)), content);
        Assert.Equal(["WO", "PA"], content.Shares.Select(share => share.Code));
    }

    [Fact]
    public void Extreme_Percentages()
    {
        Assert.True(FibreContent.Create([new("WO", 100)]).IsOk);
        Assert.Equal("99.5 % wool, 0.5 % elastane", Content(("WO", 99.5m), ("EL", 0.5m)).Describe(FibreBasis.BandSeen).ToString());
    }

    [Theory]
    [InlineData(99.9, 0, "more than 0 and at most 100")]
    [InlineData(100, 0.1, "come to 100.1")]
    [InlineData(50, 49.9, "come to 99.9")]
    [InlineData(101, -1, "more than 0 and at most 100")]
    public void Invalid_Percentages(double wool, double acrylic, string told) =>
        Refused.With(FibreContent.Create([new("WO", (decimal)wool), new("PAN", (decimal)acrylic)]), "fibres", told);

    [Fact]
    public void Invalid_PercentageForSomeOnly() =>
        Refused.With(FibreContent.Create([new("WO", 80), new("PAN")]), "fibres", "1 of 2", "for none");

    [Fact]
    public void Invalid_HugePercentages() =>
        Refused.With(FibreContent.Create([new("WO", decimal.MaxValue), new("PAN", decimal.MaxValue)]), "fibres", "at most 100");

    [Fact]
    public void Invalid_SameFibreTwice() =>
        Refused.With(FibreContent.Create([new("WO", 50), new("wo", 50)]), "fibres", "WO is there twice");

    [Theory]
    [InlineData("XX")]
    [InlineData("")]
    [InlineData("<script>alert(1)</script>")]
    public void Invalid_UnknownCode(string code) =>
        Refused.With(FibreContent.Create([new(code)]), "fibres", code.Length > 24 ? code[..24] : code, "WO, WV, WM");

    [Fact]
    public void Invalid_NullCodeOrShare()
    {
        Refused.With(FibreContent.Create([new(null!)]), "fibres", "not a known fibre code");
        Refused.With(FibreContent.Create([null!]), "fibres", "not a known fibre code");
    }

    [Fact]
    public void Extreme_EndlessListIsRefusedAfterALookAtItsStart()
    {
        Outcome<FibreContent> outcome = FibreContent.Create(Enumerable.Repeat(new FibreShare(new string('x', 10_000)), int.MaxValue));
        Assert.Equal(FibreTable.All.Count + 1, outcome.Refusals.Count);
        Assert.All(outcome.Refusals, refusal => Assert.True(refusal.ToString().Length < 300));
    }

    private static FibreContent Content(params (string Code, int? Percent)[] shares) =>
        Content([.. shares.Select(share => (share.Code, (decimal?)share.Percent))]);

    private static FibreContent Content(params (string Code, decimal? Percent)[] shares) =>
        FibreContent.Create(shares.Select(share => new FibreShare(share.Code, share.Percent))).Value;
}
