using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using Xunit;

namespace GuildStash.Domain.Tests.Yardage;

public sealed class YardageRulesTests
{
    private static readonly FibreContent Wool = FibreContent.Create([new FibreShare("WO", 100)]).Value;

    private static YardageRules Room(double? animal, double? plant = null, double? synthetic = null) =>
        YardageRules.Standard with { Regains = RoomRegains.Create(animal, plant, synthetic).Value };

    /// <summary>
    /// A 50 g ball of wool with the agreed 17 % (Regulation (EU) 1007/2011, annex IX) weighs 50 · 110/117 = 47.01 g at 10 % (computed);
    /// its length must be that of its band again.
    /// </summary>
    [Fact]
    public void Known_ASealedBallWeighedInADryRoom_HasItsBandsLength()
    {
        YarnEvidence ball = new() { Band = Band.Create(120, 50).Value, Fibres = Wool, FibreGroup = FibreGroup.Animal };
        Mass dry = Mass.FromGrams(50m * 110 / 117);

        YardageEstimate asWeighed = YardageRules.Standard.Estimate(ball)!;
        YardageEstimate inRoom = Room(10).Estimate(ball)!;

        Assert.Equal(120 * 110 / 117.0, asWeighed.LengthOf(dry).Likely.Metres, 0.01);
        Assert.Equal(120, inRoom.LengthOf(dry).Likely.Metres, 0.01);
        Assert.Equal(117 / 110.0, inRoom.Low.MetresPer100Grams / asWeighed.Low.MetresPer100Grams, 1e-9);
        Assert.Equal(117 / 110.0, LengthMoments.Of(inRoom.Distribution).MeanMetresPer100Grams / LengthMoments.Of(asWeighed.Distribution).MeanMetresPer100Grams, 1e-9);
        Assert.Contains("weighed · (100 + 17)/(100 + 10), that is 100 g count as 106.4 g", inRoom.Sentence.ToString(), StringComparison.Ordinal);
    }

    /// <summary>The same ball with its band on is not weighed at all: it counts as 50 g of its band, which no room makes longer.</summary>
    [Fact]
    public void Known_ASealedBallThatIsCounted_HasItsBandsLengthInAnyRoom()
    {
        YarnEvidence ball = new() { Band = Band.Create(120, 50).Value, Fibres = Wool, FibreGroup = FibreGroup.Animal, Sealed = new(1, 240) };

        Assert.All<YardageRules>([YardageRules.Standard, Room(10), Room(25)], rules => Assert.Equal(120, rules.Estimate(ball)!.LengthOf(Mass.FromGrams(50)).Likely.Metres, 0.001));
        Assert.Null(Room(10).Estimate(ball)!.Moisture);
    }

    [Fact]
    public void Estimate_WhenASampleWasWeighedInTheSameRoom_IsNotCorrected()
    {
        YarnEvidence lot = new() { Sample = WeighedSample.Create(20, 10, 0.01m).Value, Fibres = Wool };

        Assert.Equal(YardageRules.Standard.Estimate(lot)!.Likely, Room(10).Estimate(lot)!.Likely);
    }

    [Theory]
    [InlineData("WO", null, true)]
    [InlineData("CO", null, false)]
    [InlineData("ME", null, false)]
    [InlineData("WO", 80, false)]
    public void Estimate_WhenAFibreOrItsRegainIsNotKnown_MassesCountAsWeighed(string code, int? percent, bool corrected)
    {
        FibreShare[] shares = percent is { } p ? [new(code, p), new("CO", 100 - p)] : [new(code, null)];
        YarnEvidence lot = new() { AssertedClass = WeightClass.Dk, Fibres = FibreContent.Create(shares).Value };

        Assert.Equal(corrected, Room(10).Estimate(lot)!.Moisture is not null);
        Assert.Null(YardageRules.Standard.Estimate(lot)!.Moisture);
    }

    /// <summary>80/20 acrylic and wool: agreed 0.8 · 2 + 0.2 · 17 = 5 %, in the room 0.8 · 1 + 0.2 · 12 = 3.2 % (computed).</summary>
    [Fact]
    public void Known_RegainOfABlend_WeightsTheShares()
    {
        MoistureCorrection blend = RoomRegains.Create(12, null, 1).Value.For(FibreContent.Create([new FibreShare("PAN", 80), new FibreShare("WO", 20)]).Value)!;

        Assert.Equal((5.0, 3.2), (blend.AgreedRegain, Math.Round(blend.RoomRegain, 9)));
    }

    [Fact]
    public void Invalid_Regains()
    {
        Outcome<RoomRegains> wrong = RoomRegains.Create(-1, 41, double.NaN);

        Assert.Equal(["animal", "plant", "synthetic"], wrong.Refusals.Select(refusal => refusal.Field));
    }

    /// <summary>Lots are computed anew when it would show, not for each of a thousand.</summary>
    [Fact]
    public void Compare_WhenLotsAreAdded_IsNoticeableWhileThereAreFew()
    {
        YarnEvidence lot = new() { Wraps = Wraps.Create(13, 1).Value, Band = Band.Create(195, 100).Value, FibreGroup = FibreGroup.Animal };
        YardageLearning Of(int lots) => YardageLearning.From(Enumerable.Repeat(lot, lots), WeightClassTable.Default);

        Assert.True(Of(1).IsNoticeablyOtherThan(YardageLearning.Nothing));
        Assert.True(Of(24).IsNoticeablyOtherThan(Of(20)));
        Assert.False(Of(201).IsNoticeablyOtherThan(Of(200)));
        Assert.False(Of(200).IsNoticeablyOtherThan(Of(200)));
    }
}
