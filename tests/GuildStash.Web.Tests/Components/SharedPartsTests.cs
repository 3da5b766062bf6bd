using System.Globalization;
using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Components.Shared;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Components;

public sealed class SharedPartsTests : ShellTest
{
    [Theory]
    [InlineData(LengthUnit.Yards, "A part that takes 13,123 yd: at most 10,936 yd.")]
    [InlineData(LengthUnit.Metres, "A part that takes 12.0 km: at most 10.0 km.")]
    public void Tell_WhenALengthIsRefused_SpeaksTheReadersUnit(LengthUnit unit, string words)
    {
        Use(unit);
        Refusal[] refusals = [Refusal.Invalid("metres", "A part that takes {0}: at most {1}.", Length.FromMetres(12_000), Length.FromMetres(10_000))];

        Assert.Equal(words, Spaces.Plain(Ui.Render<RefusalList>(p => p.Add(c => c.Refusals, refusals)).Find("p").TextContent));
        Assert.Equal(words, Spaces.Plain(Ui.Render<Field>(p => p.Add(c => c.Name, "metres").Add(c => c.Label, "Length").Add(c => c.Refusals, refusals)).Find(".field-error p").TextContent));
    }

    [Fact]
    public void Draw_WhenWrapsDouble_TheStrandIsHalfAsThick()
    {
        double Thickness(double wraps) => Number(Ui.Render<WeightGlyph>(p => p.Add(c => c.Wraps, wraps)).Find("path"), "stroke-width");

        Assert.Equal(Thickness(10), 2 * Thickness(20), 0.02);
        Assert.True(Thickness(5.5) > Thickness(7.5));
    }

    [Theory]
    [InlineData(50, 100, null, 75)]
    [InlineData(50, 100, 200.0, 39)]
    [InlineData(100, 100, null, 147)]
    public void Draw_WhenALengthIsSure_TheSolidPartEndsInProportion(double low, double high, double? scale, double end)
    {
        IRenderedComponent<LengthStrand> strand = Ui.Render<LengthStrand>(p => p
            .Add(c => c.LowMetres, low).Add(c => c.HighMetres, high).Add(c => c.ScaleMetres, scale).Add(c => c.Width, 150));

        Assert.Equal(end, Number(strand.Find(".sure"), "x2"));
        Assert.Equal(low < high ? 1 : 0, strand.FindAll(".fray").Count);
    }

    [Theory]
    [InlineData("Scale shows for K7M4-P9U", "K7M4-P9U")]
    [InlineData("Lots K7M4-P9U, DXVL-8TN of bin K7M-S and gift D-2026-0042/1.", "K7M4-P9U|DXVL-8TN|K7M-S|D-2026-0042")]
    [InlineData("A well-known yarn of 30-40 wraps", "30-40")]
    [InlineData("Nothing that is kept apart", "")]
    public void Show_WhenASentenceNamesCodes_TheyStayWholeAndTheSentenceTheSame(string sentence, string codes)
    {
        IRenderedComponent<WholeCodes> shown = Ui.Render<WholeCodes>(p => p.Add(c => c.Text, sentence));

        Assert.Equal(codes, string.Join('|', shown.FindAll(".nowrap").Select(code => code.TextContent)));
        Assert.Equal(sentence, string.Concat(shown.Nodes.Select(node => node.TextContent)));
    }

    [Fact]
    public void Draw_WhenNothingIsSure_OnlyFrays()
    {
        IRenderedComponent<LengthStrand> strand = Ui.Render<LengthStrand>(p => p.Add(c => c.LowMetres, 0).Add(c => c.HighMetres, 100));

        Assert.Empty(strand.FindAll(".sure"));
        Assert.Single(strand.FindAll(".fray"));
        Assert.Empty(Ui.Render<LengthStrand>(p => p.Add(c => c.LowMetres, 0).Add(c => c.HighMetres, 0)).FindAll("svg"));
    }

    [Fact]
    public void Tell_WhenLowLikelyHighAreKnown_SaysAllThreeInTheUnit()
    {
        Use(LengthUnit.Yards);
        IRenderedComponent<LengthText> text = Ui.Render<LengthText>(p => p
            .Add(c => c.LowMetres, 233.172).Add(c => c.LikelyMetres, 253.29).Add(c => c.HighMetres, 274.3));

        Assert.Equal("at least 255 yd", Spaces.Plain(text.Find("b").TextContent));
        Assert.Equal("at least 255 yd probably 277, at most 300", Spaces.Plain(text.Find(".length-text").TextContent));

        text.Render(p => p.Add(c => c.Compact, true));
        Assert.Equal("255 to 300", text.Find(".length-text").TextContent);

        text.Render(p => p.Add(c => c.LowMetres, null));
        Assert.Equal("length not known", text.Find(".soft").TextContent);
    }

    [Theory]
    [InlineData("#B5485a", true)]
    [InlineData("#b5485", false)]
    [InlineData("red", false)]
    [InlineData("#b5485a\" onload=\"x", false)]
    [InlineData(null, false)]
    public void Show_WhenTheColourIsNoTriplet_IsHatchedAndSaysSo(string? hex, bool known)
    {
        IRenderedComponent<Swatch> swatch = Ui.Render<Swatch>(p => p.Add(c => c.Hex, hex).Add(c => c.Name, "dusty red"));

        Assert.Equal(known ? hex : "none", swatch.Find("rect").GetAttribute("fill"));
        Assert.Equal(known ? 0 : 1, swatch.FindAll(".swatch-hatch").Count);
        Assert.Equal(known ? "dusty red" : "dusty red, no colour picked", swatch.Find(".swatch > span").TextContent);
    }

    [Fact]
    public void Show_WhenNoNameStandsBeside_TheSwatchSaysItself()
    {
        IElement drawing = Ui.Render<Swatch>(p => p.Add(c => c.Hex, null)).Find("svg");

        Assert.Equal(("img", "no colour picked"), (drawing.GetAttribute("role"), drawing.GetAttribute("aria-label")));
        Assert.Null(drawing.GetAttribute("aria-hidden"));
    }

    [Fact]
    public void Link_WhenOnAMiddlePage_KeepsTheFiltersAndLeavesPagesOut()
    {
        Navigation.NavigateTo("/inventory?colour=red&page=3");
        IRenderedComponent<Pager> pager = Ui.Render<Pager>(p => p.Add(c => c.Page, 5).Add(c => c.PageSize, 20).Add(c => c.Total, 812));

        Assert.Equal(["Before", "1", "…", "4", "5", "6", "…", "41", "After"], pager.FindAll("li").Select(item => item.TextContent.Trim()));
        Assert.Equal("81 to 100 of 812", pager.Find("nav > span").TextContent);
        Assert.EndsWith("/inventory?colour=red&page=6", pager.Find("[rel=next]").GetAttribute("href"), StringComparison.Ordinal);
        Assert.EndsWith("/inventory?colour=red", pager.FindAll("li a")[1].GetAttribute("href"), StringComparison.Ordinal);
        Assert.Equal("5", pager.Find("[aria-current=page]").TextContent);
    }

    [Theory]
    [InlineData(42)]
    [InlineData(499_901)]
    public void Link_WhenThePageIsPastTheEnd_LeadsBackToTheLastOne(int page)
    {
        Navigation.NavigateTo($"/inventory?page={page}");
        IRenderedComponent<Pager> pager = Ui.Render<Pager>(p => p.Add(c => c.Page, page).Add(c => c.PageSize, 20).Add(c => c.Total, 812));

        Assert.Equal("The last page is 41.", pager.Find("nav > span").TextContent);
        Assert.EndsWith("/inventory?page=41", pager.Find("[rel=prev]").GetAttribute("href"), StringComparison.Ordinal);
        Assert.Empty(pager.FindAll("[rel=next], [aria-current]"));
    }

    [Theory]
    [InlineData(20, 20)]
    [InlineData(0, 20)]
    public void Link_WhenAllFitsOnOnePage_ShowsNothing(int total, int pageSize) =>
        Assert.Empty(Ui.Render<Pager>(p => p.Add(c => c.Page, 1).Add(c => c.PageSize, pageSize).Add(c => c.Total, total)).Nodes);

    private static double Number(IElement element, string attribute) =>
        double.Parse(element.GetAttribute(attribute)!, CultureInfo.InvariantCulture);
}
