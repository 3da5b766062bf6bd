using CsCheck;
using GuildStash.Domain.Colours;

namespace GuildStash.Domain.Tests.Colours;

public class ColourTests
{
    private static readonly Gen<Colour> AnyColour = Gen.Select(Gen.Byte, Gen.Byte, Gen.Byte, (r, g, b) => new Colour(r, g, b));

    [Theory]
    [InlineData("#8A3C2e", "#8a3c2e")]
    [InlineData("8a3c2e", "#8a3c2e")]
    [InlineData(" #000000 ", "#000000")]
    public void Known_Parse(string typed, string hex) => Assert.Equal(hex, Colour.Parse(typed).Value.Hex);

    [Fact]
    public void Roundtrip_Hex() => AnyColour.Sample(colour => Colour.Parse(colour.Hex).Value == colour);

    [Theory]
    [InlineData(null)]
    [InlineData("")]
    [InlineData("#")]
    [InlineData("#fff")]
    [InlineData("#8a3c2")]
    [InlineData("#8a3c2e0")]
    [InlineData("#8a3c2g")]
    [InlineData("##8a3c2")]
    [InlineData("-8a3c2")]
    [InlineData("# 8a3c2")]
    [InlineData("red")]
    public void Invalid_Hex(string? typed)
    {
        Refused.With(Colour.Parse(typed), "colourHex", "six digits");
        Assert.False(Colour.TryParse(typed, out _));
    }

    [Fact]
    public void Extreme_LongInputIsShortenedInTheSentence() => Assert.True(Colour.Parse(new string('f', 10_000)).Refusal.ToString().Length < 200);

    // Computed from IEC 61966-2-1 primaries and CIE 15; OKLab after Ottosson 2020.
    [Fact]
    public void Known_Red()
    {
        Colour red = new(255, 0, 0);
        Near(new(53.2408, 80.0925, 67.2032), red.Lab, 1e-3);
        Assert.Equal(0.627955, red.OkLab.L, 2e-5);
        Assert.Equal(0.224863, red.OkLab.A, 2e-5);
        Assert.Equal(0.125846, red.OkLab.B, 2e-5);
    }

    // Computed.
    [Fact]
    public void Known_MiddleGrey() => Assert.Equal(53.585, new Colour(128, 128, 128).Lab.L, 1e-3);

    [Fact]
    public void Extreme_BlackAndWhite()
    {
        Near(new(0, 0, 0), Colour.Black.Lab, 1e-9);
        Near(new(100, 0, 0), Colour.White.Lab, 1e-2);
        Assert.Equal(0, Colour.Black.RelativeLuminance);
        Assert.Equal(1, Colour.White.RelativeLuminance, 1e-12);
        Assert.Equal(0, Colour.Black.OkLch.C, 1e-12);
    }

    // B. Ottosson, "A perceptual color space for image processing", 2020: test values to three decimals.
    [Theory]
    [InlineData(0.950, 1, 1.089, 1, 0, 0)]
    [InlineData(1, 0, 0, 0.450, 1.236, -0.019)]
    [InlineData(0, 1, 0, 0.922, -0.671, 0.263)]
    [InlineData(0, 0, 1, 0.153, -1.415, -0.449)]
    public void Known_OkLabOfXyz(double x, double y, double z, double l, double a, double b)
    {
        OkLab lab = OkLab.FromXyz(new(x, y, z));
        Assert.Equal(l, lab.L, 6e-4);
        Assert.Equal(a, lab.A, 6e-4);
        Assert.Equal(b, lab.B, 6e-4);
    }

    // Lab and OKLab of the ISCC–NBS centroids, computed apart from this program to 3 and 5 decimals.
    [Fact]
    public void Known_CentroidsInLabAndOkLab() => Assert.All(TestTable.Read("Colours.iscc-nbs-lab.csv"), row =>
    {
        Colour colour = Colour.Parse(row[1]).Value;
        Near(new(TestTable.Number(row[2]), TestTable.Number(row[3]), TestTable.Number(row[4])), colour.Lab, 2e-3);
        Assert.Equal(TestTable.Number(row[5]), colour.OkLab.L, 2e-5);
        Assert.Equal(TestTable.Number(row[6]), colour.OkLab.A, 2e-5);
        Assert.Equal(TestTable.Number(row[7]), colour.OkLab.B, 2e-5);
    });

    [Fact]
    public void Roundtrip_PolarForm() => AnyColour.Sample(colour =>
    {
        (OkLab lab, OkLch polar) = (colour.OkLab, colour.OkLch);
        double angle = polar.H * Math.PI / 180;
        return polar.H is >= 0 and < 360 && polar.L == lab.L
            && Math.Abs((polar.C * Math.Cos(angle)) - lab.A) < 1e-12 && Math.Abs((polar.C * Math.Sin(angle)) - lab.B) < 1e-12;
    });

    private static void Near(Lab expected, Lab actual, double tolerance)
    {
        Assert.Equal(expected.L, actual.L, tolerance);
        Assert.Equal(expected.A, actual.A, tolerance);
        Assert.Equal(expected.B, actual.B, tolerance);
    }
}
