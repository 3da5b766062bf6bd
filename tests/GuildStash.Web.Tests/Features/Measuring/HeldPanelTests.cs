using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.People;
using GuildStash.Domain.Yardage;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Measuring;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Measuring;

public sealed class HeldPanelTests : ShellTest
{
    private IRenderedComponent<HeldPanel> Open(LengthUnit unit = LengthUnit.Yards)
    {
        Use(unit);
        return Ui.Render<HeldPanel>(p => p.Add(c => c.Rules, YardageRules.Standard));
    }

    private static void Type(IRenderedComponent<HeldPanel> panel, int at, string part, string text) => panel.Find($"[id='held[{at}].{part}']").Input(text);

    private static string Answer(IRenderedComponent<HeldPanel> panel) =>
        string.Join(' ', panel.Find(".held-answer").TextContent.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    /// <summary>230 and 420 yd to 100 g held together: 148.6 (computed, docs/sources.md). Of 300 yd, 300/230 and 300/420 hundred grams.</summary>
    [Fact]
    public void KnownStrands_OfDifferentYarns_MakeTheirLengthAndTakeTheirGrams()
    {
        IRenderedComponent<HeldPanel> panel = Open();
        Type(panel, 0, "length", "230");
        Assert.Contains("Enter two strands", Answer(panel), StringComparison.Ordinal);
        Type(panel, 1, "length", "420");
        panel.Find("[id='held.needed']").Input("300");

        Assert.Contains("149 yd/100 g", Answer(panel), StringComparison.Ordinal);
        Assert.Equal(["strand 1: 300 yd, that is 131 g", "strand 2: 300 yd, that is 72 g"], panel.FindAll("li").Select(item => Spaces.Plain(item.TextContent)));
        Assert.Contains("Together 203 g.", Answer(panel), StringComparison.Ordinal);
    }

    /// <summary>Two at 13 wraps: 9.19 round, 6.5 flat (computed, docs/sources.md).</summary>
    [Fact]
    public void KnownWraps_OfTwoStrands_AreToldRoundAndFlat()
    {
        IRenderedComponent<HeldPanel> panel = Open();
        foreach (int at in new[] { 0, 1 })
        {
            Type(panel, at, "length", "230");
            Type(panel, at, "wraps", "13");
        }

        Assert.Contains("About 9.2 wraps per inch where they lie round as one yarn, 6.5 where they lie flat", Answer(panel), StringComparison.Ordinal);
        Assert.Contains("115 yd/100 g", Answer(panel), StringComparison.Ordinal);
        Assert.Contains("Bulky", Answer(panel), StringComparison.Ordinal);
    }

    /// <summary>DK's low and high are 200 and 273 yd to 100 g (common practice): double, the low is 100; the median of each 233.7 (computed).</summary>
    [Fact]
    public void Show_WhenOnlyAClassIsKnown_PromisesTheLowOfBoth()
    {
        IRenderedComponent<HeldPanel> panel = Open();
        panel.Find("[id='held[0].class']").Change("Dk");
        panel.Find("[id='held[1].class']").Change("Dk");

        Assert.Contains("at least 100 yd/100 g, probably 117 yd/100 g", Answer(panel), StringComparison.Ordinal);
    }

    [Fact]
    public void Show_WhenGramsAreInHand_TheShorterStrandEndsFirst()
    {
        IRenderedComponent<HeldPanel> panel = Open(LengthUnit.Metres);
        Type(panel, 0, "length", "200");
        Type(panel, 0, "grams", "100");
        Type(panel, 1, "length", "400");
        Assert.DoesNotContain("in hand is enough", Answer(panel), StringComparison.Ordinal);
        Type(panel, 1, "grams", "30");

        Assert.Contains("What is in hand is enough for at least 120 m", Answer(panel), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("length", "3", "5 m to 20.0 km is allowed")]
    [InlineData("wraps", "300", "1 to 100 are allowed")]
    [InlineData("grams", "0", "at most 25,000 g is allowed")]
    public void InvalidStrand_IsRefusedBesideItsField(string part, string typed, string says)
    {
        IRenderedComponent<HeldPanel> panel = Open(LengthUnit.Metres);
        Type(panel, 0, part, typed);

        Assert.Contains(says, Spaces.Plain(panel.Find($"[id='held[0].{part}-error']").TextContent), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Add_WhenThereAreThree_OneCanBeTakenOutAgain()
    {
        IRenderedComponent<HeldPanel> panel = Open(LengthUnit.Metres);
        await panel.InvokeAsync(() => panel.FindAll("button").Single(b => b.TextContent == "Add a strand").Click());
        foreach (int at in new[] { 0, 1, 2 })
        {
            Type(panel, at, "length", "300");
        }

        Assert.Contains("100 m/100 g", Answer(panel), StringComparison.Ordinal);
        await panel.InvokeAsync(() => panel.FindAll("button").Single(b => b.TextContent == "Take strand 2 out").Click());
        Assert.Contains("150 m/100 g", Answer(panel), StringComparison.Ordinal);
        Assert.DoesNotContain(panel.FindAll("button"), b => b.TextContent.StartsWith("Take strand", StringComparison.Ordinal));
    }

    [Fact]
    public void Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<HeldPanel> panel = Open();
        foreach (int at in new[] { 0, 1 })
        {
            Type(panel, at, "length", "230");
            Type(panel, at, "wraps", "13");
            Type(panel, at, "grams", "50");
        }

        panel.Find("[id='held.needed']").Input("300");
        Assert.NotEmpty(panel.FindAll(".held-answer li"));
        Assert.Empty(UntranslatedText.Find(panel.Markup));
    }
}
