using CsCheck;
using GuildStash.Domain.Colours;

namespace GuildStash.Domain.Tests.Colours;

public class ContrastTests
{
    // WCAG 2.2: #767676 on white passes 4.5 for text, #777777 fails (computed).
    [Theory]
    [InlineData("#767676", 4.5422, true)]
    [InlineData("#777777", 4.4781, false)]
    public void Known_GreyOnWhite(string hex, double ratio, bool passes)
    {
        double actual = Contrast.Ratio(Colour.Parse(hex).Value, Colour.White);
        Assert.Equal(ratio, actual, 5e-5);
        Assert.Equal(passes, actual >= Contrast.Text);
        Assert.Equal(actual, Contrast.Ratio(Colour.White, Colour.Parse(hex).Value));
    }

    [Fact]
    public void Extreme_BlackOnWhite() => Assert.Equal(21, Contrast.Ratio(Colour.Black, Colour.White), 1e-9);

    [Theory]
    [InlineData("#ffff00", "#000000")]
    [InlineData("#00008b", "#ffffff")]
    [InlineData("#767676", "#000000")]
    [InlineData("#6e6e6e", "#ffffff")]
    public void Known_TextOnASwatch(string ground, string text) => Assert.Equal(text, Contrast.TextOn(Colour.Parse(ground).Value).Hex);

    // Computed: the better of black and white never has less than 4.58 : 1.
    [Fact]
    public void Known_TextIsReadableOnEveryColour() => Gen.Select(Gen.Byte, Gen.Byte, Gen.Byte).Sample((r, g, b) =>
    {
        Colour ground = new(r, g, b);
        return Contrast.Ratio(Contrast.TextOn(ground), ground) >= 4.58;
    });
}
