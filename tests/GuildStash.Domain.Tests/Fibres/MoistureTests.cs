using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Tests.Fibres;

public class MoistureTests
{
    // Textile-engineering worked example: 20,000 kg of 80/20 polyester and cotton at 4 % moisture content, with R 0.4 and 8.5.
    [Fact]
    public void Known_CommercialMassOfABlend()
    {
        double blend = Moisture.RegainOfBlend([(80, 0.4), (20, 8.5)]);
        Assert.Equal(2.02, blend, 1e-12);
        Assert.Equal(19_200, Moisture.DryMass(20_000, 4), 1e-9);
        Assert.Equal(19_587.84, Moisture.CommercialMass(Moisture.DryMass(20_000, 4), blend), 1e-6);
    }

    // Computed from Regulation (EU) 1007/2011, annex IX: 80/20 acrylic and wool have 5.0 %.
    [Fact]
    public void Known_AgreedRegainOfABlend() => Assert.Equal(5.0, Moisture.AgreedRegain(Content(new("PAN", 80), new("WO", 20)))!.Value, 1e-12);

    // Regulation (EU) 1007/2011, annex IX (wool, polyamide, cotton seen in excerpts; the rest by the French decree of 24 June 1998).
    [Theory]
    [InlineData("WO", 17)]
    [InlineData("WV", 17)]
    [InlineData("WM", 17)]
    [InlineData("WP", 17)]
    [InlineData("WS", 17)]
    [InlineData("WA", 17)]
    [InlineData("SE", 11)]
    [InlineData("CO", 8.5)]
    [InlineData("LI", 12)]
    [InlineData("HA", 12)]
    [InlineData("CV", 13)]
    [InlineData("CMD", 13)]
    [InlineData("CLY", 13)]
    [InlineData("CA", 9)]
    [InlineData("PAN", 2)]
    [InlineData("PA", 6.25)]
    [InlineData("PES", 1.5)]
    [InlineData("PP", 2)]
    [InlineData("EL", 1.5)]
    public void Known_AgreedRegains(string code, double regain) => Assert.Equal(regain, Moisture.AgreedRegain(Content(new FibreShare(code))));

    // The same source: combed wool and hair, polyamide as filament. Bands rarely say so; nothing of the program reckons with them by itself.
    [Fact]
    public void Known_RegainsOfOtherMakes() => Assert.Equal((18.25, 5.75), (Moisture.CombedWoolRegain, Moisture.FilamentPolyamideRegain));

    // Computed: 50 g of wool at 18.25 % weigh 48.20 g at 14 % and 46.51 g at 10 %.
    [Theory]
    [InlineData(14, 48.20)]
    [InlineData(10, 46.51)]
    public void Known_ADryRoomMakesASealedBallLight(double room, double grams) =>
        Assert.Equal(grams, Moisture.CommercialMass(50 / (1 + (Moisture.CombedWoolRegain / 100)), room), 0.005);

    [Fact]
    public void Known_CorrectionTurnsTheRoomsMassIntoTheCommercialOne()
    {
        MoistureCorrection correction = MoistureCorrection.Create(Content(new FibreShare("CO", 100)), 5).Value;
        Assert.Equal(1.085 / 1.05, correction.Factor, 1e-12);
        Assert.Equal(Mass.FromMilligrams(103_333), correction.Of(Mass.FromGrams(100)));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(8.5)]
    [InlineData(18.25)]
    [InlineData(40)]
    public void Roundtrip_RegainAndContent(double regain) => Assert.Equal(regain, Moisture.Regain(Moisture.Content(regain)), 1e-12);

    [Fact]
    public void Known_NoFigureWhereAShareOrAFibreIsUnknown()
    {
        Assert.Null(Moisture.AgreedRegain(FibreContent.Unknown));
        Assert.Null(Moisture.AgreedRegain(Content(new("WO"), new("PA"))));
        Assert.Null(Moisture.AgreedRegain(Content(new("WO", 90), new("ME", 10))));
    }

    [Theory]
    [InlineData(-1)]
    [InlineData(41)]
    [InlineData(double.NaN)]
    public void Invalid_RoomRegain(double room) => Refused.With(MoistureCorrection.Create(Content(new FibreShare("WO", 100)), room), "roomRegain", "0 to 40 %");

    [Fact]
    public void Invalid_CorrectionOfUnknownFibres() => Refused.With(MoistureCorrection.Create(FibreContent.Unknown, 10), "fibres", "percentages");

    [Theory]
    [InlineData("WO:80,PA:20", FibreGroup.Animal)]
    [InlineData("WO:50,PAN:50", FibreGroup.Other)]
    [InlineData("CO,LI", FibreGroup.Plant)]
    [InlineData("CO,PAN", FibreGroup.Other)]
    [InlineData("PAN:60,WO:40", FibreGroup.Synthetic)]
    [InlineData("CV:100", FibreGroup.Plant)]
    public void Known_Groups(string fibres, FibreGroup group) => Assert.Equal(group, FibreGroups.Of(Content([.. fibres.Split(',').Select(each => each.Split(':')).Select(each =>
        new FibreShare(each[0], each.Length > 1 ? decimal.Parse(each[1], System.Globalization.CultureInfo.InvariantCulture) : null))])));

    [Fact]
    public void Known_UnknownFibresHaveNoGroup() => Assert.Equal(FibreGroup.Other, FibreGroups.Of(FibreContent.Unknown));

    private static FibreContent Content(params FibreShare[] shares) => FibreContent.Create(shares).Value;
}
