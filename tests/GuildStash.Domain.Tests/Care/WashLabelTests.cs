using CsCheck;
using GuildStash.Domain.Care;

namespace GuildStash.Domain.Tests.Care;

public class WashLabelTests
{
    private static readonly Gen<WashLabel> AnyLabel = Gen.Int[0, 9].Select(Gen.Enum<MechanicalAction>()).Select((which, action) => which switch
    {
        <= 5 => WashLabel.Dots(which + 1, action).Value,
        6 => WashLabel.HandWash,
        7 => WashLabel.DoNotWash,
        8 => WashLabel.MachineInWords,
        _ => WashLabel.NotStated,
    });

    // ISO 3758: the number in the tub is the highest °C.
    [Theory]
    [InlineData(30)]
    [InlineData(40)]
    [InlineData(50)]
    [InlineData(60)]
    [InlineData(70)]
    [InlineData(95)]
    public void Known_TubNumberIsTheMaximum(int celsius)
    {
        WashLabel label = WashLabel.Tub(celsius).Value;
        Assert.Equal((celsius, true, WashTreatment.Machine), (label.MaxCelsius, label.MachineWashable, label.Treatment));
    }

    // ASTM D5489, from memory.
    [Theory]
    [InlineData(1, 30)]
    [InlineData(2, 40)]
    [InlineData(3, 50)]
    [InlineData(4, 60)]
    [InlineData(5, 70)]
    [InlineData(6, 95)]
    public void Known_DotsOfTheUsa(int dots, int celsius) => Assert.Equal(WashLabel.Tub(celsius).Value, WashLabel.Dots(dots).Value);

    // GINETEX: a hand in the tub is at most 40 °C.
    [Fact]
    public void Known_HandAtMost40()
    {
        Assert.Equal((40, false), (WashLabel.HandWash.MaxCelsius, WashLabel.HandWash.MachineWashable));
        Assert.Equal(30, WashLabel.Hand(30).Value.MaxCelsius);
        Refused.With(WashLabel.Hand(60), "care", "60 °C", "1 to 40 °C");
        Refused.With(WashLabel.Hand(0), "care", "0 °C", "1 to 40 °C");
    }

    [Fact]
    public void Known_YesNoUnknown() => Assert.Equal(
        [null, true, false, false],
        new[] { WashLabel.NotStated, WashLabel.MachineInWords, WashLabel.HandWash, WashLabel.DoNotWash }.Select(label => label.MachineWashable));

    [Theory]
    [InlineData(0)]
    [InlineData(-30)]
    [InlineData(35)]
    [InlineData(90)]
    [InlineData(int.MaxValue)]
    public void Invalid_Tub(int celsius) => Refused.With(WashLabel.Tub(celsius), "care", $"{celsius} °C", "30, 40, 50, 60, 70, 95");

    [Theory]
    [InlineData(0)]
    [InlineData(7)]
    [InlineData(-1)]
    [InlineData(int.MinValue)]
    public void Invalid_Dots(int dots) => Refused.With(WashLabel.Dots(dots), "care", $"{dots} dots", "1 to 6");

    // ISO 3758: one bar is mild, two are very mild; the label gives the harshest treatment allowed, so the gentler of two is safe for both.
    [Fact]
    public void Known_TogetherIsSafeForBoth()
    {
        Assert.Equal("machine wash, at most 30 °C, very mild", WashLabel.Together(WashLabel.Tub(60, MechanicalAction.VeryMild).Value, WashLabel.Tub(30, MechanicalAction.Mild).Value).Describe().ToString());
        Assert.Equal(WashLabel.HandWash, WashLabel.Together(WashLabel.Tub(60).Value, WashLabel.HandWash));
        Assert.Equal(WashLabel.Hand(30).Value, WashLabel.Together(WashLabel.Tub(30).Value, WashLabel.HandWash));
        Assert.Equal("hand wash, temperature not stated", WashLabel.Together(WashLabel.MachineInWords, WashLabel.HandWash).Describe().ToString());
        Assert.Equal(WashLabel.DoNotWash, WashLabel.Together(WashLabel.NotStated, WashLabel.DoNotWash));
        Assert.Equal(WashLabel.NotStated, WashLabel.Together(WashLabel.NotStated, WashLabel.Tub(30).Value));
        Assert.Equal(WashLabel.MachineInWords, WashLabel.Together(WashLabel.MachineInWords, WashLabel.Tub(30).Value));
    }

    [Fact]
    public void Roundtrip_TogetherInAnyOrder() => AnyLabel.Select(AnyLabel, AnyLabel).Sample((a, b, c) =>
        WashLabel.Together(a, b) == WashLabel.Together(b, a)
        && WashLabel.Together(a, a) == a
        && WashLabel.Together(WashLabel.Together(a, b), c) == WashLabel.Together(a, WashLabel.Together(b, c)), iter: 20_000);

    [Fact]
    public void Known_TogetherIsNeverHarsherThanEither() => AnyLabel.Select(AnyLabel).Where((a, b) => a != WashLabel.NotStated && b != WashLabel.NotStated).Sample((a, b) =>
    {
        WashLabel both = WashLabel.Together(a, b);
        return both.Treatment >= a.Treatment && (both.MaxCelsius is null || a.MaxCelsius is null || both.MaxCelsius <= a.MaxCelsius)
            && (both.Treatment != WashTreatment.Machine || both.Action >= a.Action);
    }, iter: 20_000);

    [Fact]
    public void Known_Words() => Assert.Equal(
        ["washing not stated", "do not wash", "hand wash, at most 40 °C", "machine wash, temperature not stated", "machine wash, very mild, temperature not stated", "machine wash, at most 95 °C", "machine wash, at most 30 °C, mild"],
        new[]
        {
            WashLabel.NotStated, WashLabel.DoNotWash, WashLabel.HandWash, WashLabel.MachineInWords, WashLabel.MachineInWords.With(MechanicalAction.VeryMild),
            WashLabel.Tub(95).Value, WashLabel.Tub(30).Value.With(MechanicalAction.Mild),
        }.Select(label => label.Describe().ToString()));

    [Fact]
    public void With_WhenNotAMachine_ChangesNothing() => Assert.Equal(WashLabel.HandWash, WashLabel.HandWash.With(MechanicalAction.Mild));
}
