using System.Globalization;
using System.Text.RegularExpressions;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Measuring;
using Xunit;

namespace GuildStash.Web.Tests.Features.Measuring;

public sealed partial class CurveShapeTests
{
    private const double MetresPerYard = 0.9144;

    private static CurveShape Draw(YarnEvidence evidence) =>
        CurveShape.Of(YardageEstimator.Estimate(evidence, WeightClassTable.Default)!, WeightClassTable.Default, MetresPerYard, weight => weight.Name().ToString());

    /// <summary>The scale is logarithmic: from 50 to 100 is as far as from 100 to 200.</summary>
    [Fact]
    public void KnownScale_IsLogarithmic()
    {
        CurveShape shape = Draw(new() { AssertedClass = WeightClass.Dk });
        double X(int value) => shape.Ticks.Single(tick => tick.Value == value).X;

        Assert.Equal(X(100) - X(50), X(200) - X(100), 1e-9);
        Assert.Equal(X(100), shape.X(100 * MetresPerYard), 1e-9);
    }

    /// <summary>A class alone: low and high of the estimate are the ends of its own strand, 200 and 273 yd for DK (common practice).</summary>
    [Fact]
    public void KnownMarks_OfAClassAlone_AreTheEndsOfItsStrand()
    {
        CurveShape shape = Draw(new() { AssertedClass = WeightClass.Dk });
        CurveLane dk = shape.Lanes.Single(lane => lane.WeightClass == WeightClass.Dk);

        Assert.Equal((shape.Low, shape.High), (dk.X1, dk.X2));
        Assert.Equal(shape.X(200 * MetresPerYard), dk.X1, 1e-9);
        Assert.InRange(shape.Likely, shape.Low, shape.High);
    }

    /// <summary>Thickness in proportion to 1/wraps: bulky at 7.5 is 13/7.5 times DK at 13.</summary>
    [Fact]
    public void KnownThickness_IsInProportionToOneOverWraps()
    {
        CurveShape shape = Draw(new() { AssertedClass = WeightClass.Dk });
        double Of(WeightClass weight) => shape.Lanes.Single(lane => lane.WeightClass == weight).Thickness;

        Assert.Equal(13 / 7.5, Of(WeightClass.Bulky) / Of(WeightClass.Dk), 1e-9);
    }

    /// <summary>The peak of a normal distribution is its median, and it reaches the top.</summary>
    [Theory]
    [InlineData(13, null)]
    [InlineData(null, 36)]
    public void Draw_WhenWideOrNarrow_ThePeakIsReachedAndNothingLeavesThePicture(int? wraps, int? sampleMetres)
    {
        CurveShape shape = Draw(new()
        {
            Wraps = wraps is { } count ? Wraps.Create(count, 1).Value : null,
            Sample = sampleMetres is { } metres ? WeighedSample.Create(metres, 22, 0.001m, 0.001m).Value : null,
        });
        (double X, double Y)[] points = [.. Numbers().Matches(shape.Area).Select(match => (Of(match, 1), Of(match, 2)))];
        double top = points.Min(point => point.Y);

        Assert.All(points, point => Assert.True(point is { X: >= 0 and <= CurveShape.Width, Y: >= 0 } && point.Y <= shape.Height, $"{point}"));
        Assert.InRange(points.First(point => point.Y == top).X, shape.Low, shape.High);
        Assert.Equal(36, top, 0.5);
    }

    [Theory]
    [InlineData(4)]
    [InlineData(13)]
    [InlineData(30)]
    public void Draw_WhenNamesAreWritten_TheyStayInThePictureAndOffTheirStrands(int wraps)
    {
        const double Letter = 6.5;
        CurveShape shape = Draw(new() { Wraps = Wraps.Create(wraps, 1).Value });

        Assert.All(shape.Lanes, lane =>
        {
            double width = lane.WeightClass.Name().ToString().Length * Letter;
            (double from, double to) = lane.NameBefore ? (lane.NameX - width, lane.NameX) : (lane.NameX, lane.NameX + width);
            Assert.True(from >= 0 && to <= CurveShape.Width && (to < lane.X1 || from > lane.X2), $"{lane}: {from} to {to}");
        });
    }

    /// <summary>There is room for each name beside its strand, off the lines of low and high.</summary>
    [Theory]
    [InlineData(5)]
    [InlineData(8)]
    [InlineData(11)]
    [InlineData(15)]
    [InlineData(18)]
    public void Draw_WhenALineOfLowOrHighIsNear_NoNameLiesAcrossIt(int wraps)
    {
        const double Letter = 6.5;
        CurveShape shape = Draw(new() { Wraps = Wraps.Create(wraps, 1).Value });

        Assert.All(shape.Lanes, lane =>
        {
            double width = lane.WeightClass.Name().ToString().Length * Letter;
            (double from, double to) = lane.NameBefore ? (lane.NameX - width, lane.NameX) : (lane.NameX, lane.NameX + width);
            Assert.True((shape.Low < from || shape.Low > to) && (shape.High < from || shape.High > to), $"{lane}: {from} to {to}, {shape.Low}, {shape.High}");
        });
    }

    [Fact]
    public void Draw_WhenTheYarnIsFarFinerThanAnyClass_ItIsStillInThePicture()
    {
        CurveShape shape = Draw(new() { Count = CountReading.Create(LinearDensity.FromMetresPer100Grams(9000), CountKind.Resultant).Value });

        Assert.InRange(shape.High, shape.Likely, CurveShape.Width);
        Assert.Contains(shape.Ticks, tick => tick.Value == 5000);
    }

    [Fact]
    public void Draw_WhenAPersonNamedAran_WorstedAndAranStandApart() => Assert.Equal(
        [WeightClass.Worsted, WeightClass.Aran],
        Draw(new() { AssertedClass = WeightClass.Aran }).Lanes.Select(lane => lane.WeightClass).Where(weight => weight.StandardNumber() == 4));

    private static double Of(Match match, int group) => double.Parse(match.Groups[group].Value, CultureInfo.InvariantCulture);

    [GeneratedRegex(@"[ML]([-\d.]+) ([-\d.]+)")]
    private static partial Regex Numbers();
}
