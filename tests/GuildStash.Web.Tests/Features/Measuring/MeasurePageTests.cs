using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.People;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Measuring;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.Components;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Measuring;

public sealed class MeasurePageTests : ShellTest
{
    private IRenderedComponent<MeasurePage> Open(LengthUnit unit = LengthUnit.Yards, string address = "/measure")
    {
        Use(unit);
        Ui.Services.GetRequiredService<NavigationManager>().NavigateTo(address);
        return Ui.Render<MeasurePage>();
    }

    private static string Answer(IRenderedComponent<MeasurePage> page) => Plain(page.Find("aside").TextContent);

    private static string Plain(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private static string? Value(IRenderedComponent<MeasurePage> page, string id) => page.Find($"[id='{id}']").GetAttribute("value");

    private static void Type(IRenderedComponent<MeasurePage> page, string id, string text) => page.Find($"[id='{id}']").Input(text);

    private static void Leave(IRenderedComponent<MeasurePage> page) => page.Find(".measure-fields").FocusOut();

    [Fact]
    public void Show_WhenNothingWasTyped_SaysWhatToDo()
    {
        IRenderedComponent<MeasurePage> page = Open();

        Assert.Contains("Count the wraps, type what the band says, or weigh a measured piece.", Answer(page), StringComparison.Ordinal);
        Assert.Empty(page.FindAll("svg.length-curve"));
        Assert.Empty(page.FindAll(".band-read"));
    }

    [Fact]
    public void Add_WhenTwoFibresSayTheSame_EachHasItsRow()
    {
        IRenderedComponent<MeasurePage> page = Open();

        page.FindAll("button").First(b => b.TextContent == "Add a fibre").Click();
        page.FindAll("button").First(b => b.TextContent == "Add a fibre").Click();
        page.FindAll("button").First(b => b.TextContent == "Remove fibre 2").Click();

        Assert.Equal(2, page.FindAll(".fibre-row").Count);
    }

    [Theory]
    [InlineData("100", false)]
    [InlineData("150", true)]
    public void Show_OfExactly100Grams_HasNoSecondLineForIn100Grams(string grams, bool both)
    {
        IRenderedComponent<MeasurePage> page = Open(address: "/measure?weightClass=aran");
        page.Find("#weightClass").Change("Aran");
        Type(page, "grams", grams);
        Leave(page);

        Assert.Contains("These", page.Find("table.figures tbody, table.figures").TextContent, StringComparison.Ordinal);
        Assert.Equal(both, Spaces.Plain(page.Find("table.figures").TextContent).Contains("In 100 g", StringComparison.Ordinal));
    }

    /// <summary>150 g known to be aran: 255.0 yd to promise (rule of the trade, common practice), 300 at most; 274.3 m are 300 yd.</summary>
    [Fact]
    public void KnownAran_ShowsTheTradesOwnFiguresInBothUnits()
    {
        IRenderedComponent<MeasurePage> page = Open();

        page.Find("#weightClass").Change("Aran");
        Type(page, "scaleDivisionGrams", "");
        Type(page, "grams", "150");

        Assert.Contains("at least 255 yd probably 277, at most 300", Answer(page), StringComparison.Ordinal);
        Assert.Equal(
            ["These 150 g", "at least 255 233", "probably 277 253", "at most 300 275", "In 100 g", "at least 170 155", "probably 184 169", "at most 200 183"],
            page.FindAll(".figures tbody tr").Select(row => Plain(string.Join(' ', row.Children.Select(cell => cell.TextContent)))));
        Assert.Contains("Aran, from the class alone.", Answer(page), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(LengthUnit.Yards, "yd", "m")]
    [InlineData(LengthUnit.Metres, "m", "yd")]
    public void Show_WhenThePersonReadsAUnit_ItStandsFirst(LengthUnit unit, string first, string second)
    {
        IRenderedComponent<MeasurePage> page = Open(unit, "/measure?wraps=13");

        Assert.Equal([first, second], page.FindAll(".figures thead th").Select(head => head.TextContent));
    }

    /// <summary>On a phone the answer stands below the fields: its figures are told beside them, too.</summary>
    [Fact]
    public void Show_WhenThereIsAnEstimate_ItsFiguresStandBesideTheFields()
    {
        IRenderedComponent<MeasurePage> page = Open();
        Assert.Empty(page.FindAll(".found"));

        page.Find("#weightClass").Change("Aran");
        Assert.Equal("Aran 170 to 200 yd in 100 g", Plain(page.Find(".found").TextContent));
        Type(page, "scaleDivisionGrams", "");
        Type(page, "grams", "150");

        Assert.Equal("Aran 255 to 300 yd", Plain(page.Find(".found").TextContent));
    }

    [Fact]
    public void Show_WhenAClassIsProbable_SaysHowOftenAndWhatElse()
    {
        IRenderedComponent<MeasurePage> page = Open(address: "/measure?wraps=13");

        Assert.Equal("Of 100 such yarns 96 are DK; the others mostly Sport (2).", page.Find(".chances").TextContent);
    }

    [Fact]
    public void Type_WhenTheBandIsCopied_FillsTheFields()
    {
        IRenderedComponent<MeasurePage> page = Open(LengthUnit.Metres);

        Type(page, "bandText", "80% WO 20% PA, LL 420 m/100 g, 28 M = 10 cm, 2,5 mm, Nm 2/9");

        Assert.Equal(("420", "100", "28", "Nm 2/9"), (Value(page, "band.metres"), Value(page, "band.grams"), Value(page, "gauge.stitches"), Value(page, "count")));
        Assert.Equal(["WO", "PA"], page.FindAll("select[id^=fibres]").Select(select => ((AngleSharp.Html.Dom.IHtmlSelectElement)select).Value));
        Assert.Equal("80", Value(page, "fibre-1-percent"));
        Assert.Contains("420 m (459 yd) to 100 g", Plain(page.Find(".band-read").TextContent), StringComparison.Ordinal);
        Assert.Contains("needles 2.5 mm", Plain(page.Find(".band-read").TextContent), StringComparison.Ordinal);
        Assert.Contains("from the band: 420 m to 100 g", Answer(page), StringComparison.Ordinal);
    }

    [Fact]
    public void Type_WhenTheBandIsInYards_KeepsItsOwnFigure()
    {
        IRenderedComponent<MeasurePage> page = Open(LengthUnit.Metres);

        Type(page, "bandText", "230 yards 100 g worsted");

        Assert.Equal(("230", "Yards"), (Value(page, "band.metres"), ((AngleSharp.Html.Dom.IHtmlSelectElement)page.Find("[id='band.unit']")).Value));
        Assert.Equal("Worsted", ((AngleSharp.Html.Dom.IHtmlSelectElement)page.Find("#weightClass")).Value);
    }

    [Fact]
    public void Type_WhenWordsAreUnknown_KeepsAndMarksThem()
    {
        IRenderedComponent<MeasurePage> page = Open();

        Type(page, "bandText", "Flurpel 125 m/50 g grabbeln");

        Assert.Equal("Flurpel 125 m/50 g grabbeln", page.Find(".words").TextContent);
        Assert.Equal(["Flurpel", "grabbeln"], page.FindAll("mark.notunderstood").Select(mark => mark.TextContent));
        Assert.Equal("Flurpel · grabbeln", page.Find(".left").TextContent);
    }

    [Fact]
    public void Type_WhenTheWordsChange_TakesBackOnlyWhatTheyHadFilled()
    {
        IRenderedComponent<MeasurePage> page = Open(LengthUnit.Metres);
        Type(page, "bandText", "125 m/50 g, Nm 2/5, DK");
        Type(page, "count", "Nm 3");

        Type(page, "bandText", "DK");

        Assert.Equal(("", "", "Nm 3"), (Value(page, "band.metres") ?? "", Value(page, "band.grams") ?? "", Value(page, "count")));
        Assert.Equal("Dk", ((AngleSharp.Html.Dom.IHtmlSelectElement)page.Find("#weightClass")).Value);
    }

    [Theory]
    [InlineData("UnitedKingdom", "Fingering")]
    [InlineData("Australia", "Fingering")]
    [InlineData("UnitedStates", "Medium")]
    public void Answer_WhenAPlyIsAmbiguous_AsksTheCountryAndThenNamesTheClass(string country, string weight)
    {
        IRenderedComponent<MeasurePage> page = Open();
        Type(page, "bandText", "4 ply");
        Assert.Equal("", ((AngleSharp.Html.Dom.IHtmlSelectElement)page.Find("#weightClass")).Value);
        Assert.Contains("Nothing to reckon with yet", Answer(page), StringComparison.Ordinal);

        page.Find("#plyCountry").Change(country);

        Assert.Equal(weight, ((AngleSharp.Html.Dom.IHtmlSelectElement)page.Find("#weightClass")).Value);
        Assert.NotEmpty(page.FindAll("#plyCountry"));
    }

    /// <summary>Ne 8/2 is 740.75 yd in 100 g (computed, docs/sources.md).</summary>
    [Fact]
    public void Answer_WhenACountNamesNoSystem_AsksForIt()
    {
        IRenderedComponent<MeasurePage> page = Open();
        Type(page, "bandText", "8/2 cotton");

        page.Find("#countSystem").Change("Cotton");

        Assert.Equal("Ne 8/2", Value(page, "count"));
        Assert.Contains("741", page.Find(".figures").TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public void Show_WhenEvidenceDisagrees_SaysSoAndKeepsTheBetter()
    {
        IRenderedComponent<MeasurePage> page = Open(LengthUnit.Metres);

        Type(page, "bandText", "125 m/50 g");
        Type(page, "wraps.count", "30");

        Assert.Contains("But 30 wraps per inch say Lace: check that the band belongs to this yarn.", Plain(page.Find("aside .note").TextContent), StringComparison.Ordinal);
        Assert.Single(page.FindAll("aside p"), p => p.TextContent.Contains("But 30 wraps", StringComparison.Ordinal));
        Assert.Contains("from the band: 125 m to 50 g", Answer(page), StringComparison.Ordinal);
    }

    [Fact]
    public void Show_WhenTheBandContradictsItself_FillsNeither()
    {
        IRenderedComponent<MeasurePage> page = Open(LengthUnit.Metres);

        Type(page, "bandText", "125 m/50 g, 420 m/100 g");

        Assert.Equal("", Value(page, "band.metres") ?? "");
        Assert.Contains("The band gives two lengths", page.Find(".band-read .note").TextContent, StringComparison.Ordinal);
        Assert.NotEmpty(page.FindAll("mark.doubtful"));
    }

    [Theory]
    [InlineData("de-DE", "48,5", "48,5")]
    [InlineData("en-GB", "48.5", "48.5")]
    public void Type_WhenTheCultureWritesAComma_ReadsAndWritesIt(string culture, string typed, string shown)
    {
        Read(culture);
        IRenderedComponent<MeasurePage> page = Open(LengthUnit.Metres);

        page.Find("#weightClass").Change("Lace");
        Type(page, "grams", typed);
        Type(page, "bandText", "LL 212,5 m/50 g");

        Assert.Contains($"These {shown} g", Plain(page.Find(".figures").TextContent), StringComparison.Ordinal);
        Assert.Equal(culture == "de-DE" ? "212,5" : "212.5", Value(page, "band.metres"));
    }

    [Fact]
    public void Type_WhenACountIsHalfTyped_IsNotScoldedBeforeTheFieldIsLeft()
    {
        IRenderedComponent<MeasurePage> page = Open();
        Type(page, "count", "Nm 2/");
        Assert.Empty(page.FindAll("#count-error"));

        Leave(page);
        Assert.Contains("is not a count", page.Find("#count-error").TextContent, StringComparison.Ordinal);

        Type(page, "count", "Nm 2/28");
        Assert.Empty(page.FindAll("#count-error"));
        Assert.Contains("from the count: 1400 m to 100 g", Answer(page), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("grams", "0", "more than 0 and at most 25,000 g is allowed")]
    [InlineData("grams", "-3", "more than 0 and at most 25,000 g is allowed")]
    [InlineData("count", "0/2", "0/2")]
    [InlineData("scaleDivisionGrams", "2000", "at most 1000 g")]
    [InlineData("gauge.stitches", "300", "2 to 60 stitches")]
    public void InvalidValue_IsRefusedBesideItsField(string id, string typed, string says)
    {
        IRenderedComponent<MeasurePage> page = Open();

        Type(page, id, typed);
        Leave(page);

        Assert.Contains(says, Plain(page.Find($"[id='{id}-error']").TextContent), StringComparison.Ordinal);
    }

    /// <summary>20 m weigh 10 g: 200 m to 100 g; ± 2 m of length make it less sure than the usual ± 0.2 m.</summary>
    [Fact]
    public void Type_WhenTheSamplesLengthIsLessSure_TheRangeIsWider()
    {
        IRenderedComponent<MeasurePage> page = Open(LengthUnit.Metres);
        Type(page, "sample.metres", "20");
        Type(page, "sample.grams", "10");
        Type(page, "scaleDivisionGrams", "0.1");
        Assert.Equal("196", page.Find(".figures tbody td").TextContent);

        Type(page, "sample.errorMetres", "2");
        Assert.Equal("181", page.Find(".figures tbody td").TextContent);
        Type(page, "sample.errorMetres", "25");
        Leave(page);

        Assert.Contains("less than the length itself (20 m) is allowed", Plain(page.Find("[id='sample.errorMetres-error']").TextContent), StringComparison.Ordinal);
    }

    /// <summary>Spun silk Ne 40/2 is 7407.5 yd to 100 g, of singles it would be half of it (computed, docs/sources.md).</summary>
    [Fact]
    public void Choose_WhenACountIsOfTheWholeYarn_ItIsNotHalved()
    {
        IRenderedComponent<MeasurePage> page = Open();
        Type(page, "count", "Ne 40/2");
        Assert.Contains("3,704", page.Find(".figures").TextContent, StringComparison.Ordinal);

        page.Find("#countIsResultant").Change(true);

        Assert.Contains("7,408", page.Find(".figures").TextContent, StringComparison.Ordinal);
    }

    [Fact]
    public void InvalidSample_OfNoGrams_IsRefused()
    {
        IRenderedComponent<MeasurePage> page = Open();

        Type(page, "sample.metres", "10");
        Type(page, "sample.grams", "0");
        Leave(page);

        Assert.Contains("more than 0 and at most 5,000 g is allowed", Plain(page.Find("[id='sample.grams-error']").TextContent), StringComparison.Ordinal);
    }

    /// <summary>The figures of the domain's own test: class 4 alone, 100 g, a scale that reads to 1 g.</summary>
    [Fact]
    public void Advise_WhenASampleWouldHelp_SaysWhatItGains()
    {
        IRenderedComponent<MeasurePage> page = Open();

        page.Find("#weightClass").Change("Medium");
        Type(page, "grams", "100");

        Assert.Equal("Weigh 40 yards: ±44 becomes ±5.9.", page.Find(".next li").TextContent);
    }

    [Fact]
    public void Press_WhenTheNextBallComes_KeepsTheScaleAndStartsAtTheWraps()
    {
        IRenderedComponent<MeasurePage> page = Open(address: "/measure?band=DK&wraps=13&grams=48");
        Type(page, "scaleDivisionGrams", "0.1");

        page.FindAll("button").First(button => button.TextContent == "Next ball").Click();

        Assert.Equal(("", "", "0.1"), (Value(page, "wraps.count") ?? "", Value(page, "grams") ?? "", Value(page, "scaleDivisionGrams")));
        Assert.Empty(page.FindAll(".band-read"));
        Assert.Contains(Ui.JSInterop.Invocations["guildStash.focusId"], call => Equals(call.Arguments[0], "wraps.count"));
    }

    [Fact]
    public void Draw_WhenThereIsAnEstimate_ThePictureHasNamesAndWords()
    {
        IRenderedComponent<MeasurePage> page = Open(address: "/measure?wraps=13&grams=48");
        IElement picture = page.Find("svg.length-curve");

        Assert.Equal("img", picture.GetAttribute("role"));
        Assert.All(picture.GetAttribute("aria-labelledby")!.Split(' '), id => Assert.NotEmpty(page.Find($"[id='{id}']").TextContent));
        Assert.Equal(["Lace", "Fingering", "Sport", "DK", "Worsted or aran", "Bulky", "Super bulky", "Jumbo"], page.FindAll("svg.length-curve .name").Select(name => name.TextContent));
    }

    [Fact]
    public void Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<MeasurePage> page = Open(address: "/measure?wraps=30&grams=48&band=" + Uri.EscapeDataString("4 ply, 8/2, 80% WO 20% PA, LL 125 m/50 g, 28 M = 10 cm, 2,5 mm, 30°, dye lot 77, namibuto, grabbeln, 2 oz"));
        Type(page, "gauge.stitches", "300");
        Leave(page);

        Assert.Empty(UntranslatedText.Find(page.Markup));
    }
}
