using Bunit;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

public sealed class BallDeskTests : ShellTest
{
    private readonly BallForm _form = new();
    private int _saved;

    private static Bench Bag(QuarantinePolicy policy = QuarantinePolicy.OnSignsOnly) =>
        new() { BagId = Guid.CreateVersion7(), DonationId = Guid.CreateVersion7(), Number = "D-2026-0042/1", Ordinal = 1, NetMg = 2_310_000, UnsortedMg = 2_310_000, Policy = policy };

    private IRenderedComponent<BallDesk> Desk(IReadOnlyList<Refusal>? refusals = null, QuarantinePolicy policy = QuarantinePolicy.OnSignsOnly)
    {
        Use(LengthUnit.Yards);
        return Ui.Render<BallDesk>(p => p.Add(d => d.Bench, Bag(policy)).Add(d => d.Form, _form).Add(d => d.Refusals, refusals).Add(d => d.OnSave, () => _saved++));
    }

    [Fact]
    public async Task Add_WhenTwoFibresSayTheSame_EachHasItsRow()
    {
        IRenderedComponent<BallDesk> desk = Desk();

        await desk.PressAsync("Add a fibre");
        await desk.PressAsync("Add a fibre");
        await desk.PressAsync("Remove fibre 2");

        Assert.Equal(2, desk.FindAll(".fibre-row").Count);
    }

    private static string Panel(IRenderedComponent<BallDesk> desk) => Spaces.Plain(desk.Find(".this-ball").TextContent);

    [Fact]
    public void Type_WhenGramsAndClassAreThere_ShowsTheLengthAtOnce()
    {
        IRenderedComponent<BallDesk> desk = Desk();
        Assert.Contains("Count the wraps, copy the band, or name the class", Panel(desk), StringComparison.Ordinal);

        desk.Find("#weightClass").Change("Aran");
        Assert.Contains("at least 170 yd/100 g", Panel(desk), StringComparison.Ordinal);
        desk.Find("#grams").Input("150");

        Assert.Contains("at least 255 yd", Panel(desk), StringComparison.Ordinal);
        Assert.Contains("at most 300", Panel(desk), StringComparison.Ordinal);
        Assert.Contains("Aran, from the class alone.", Panel(desk), StringComparison.Ordinal);
        Assert.Equal(0, _saved);
    }

    [Fact]
    public void Type_WhenTheBallWeighsMoreThanIsLeftOfTheBag_WarnsAndStillSaves()
    {
        IRenderedComponent<BallDesk> desk = Desk();

        desk.Find("#grams").Input("2310");
        Assert.Empty(desk.FindAll(".ball-over"));
        desk.Find("#grams").Input("2400");

        Assert.StartsWith("Only 2.31 kg of the bag are left to sort; this ball is 90 g more.", Spaces.Plain(desk.Find(".ball-over").TextContent), StringComparison.Ordinal);
        desk.Find("#ball").Submit();
        Assert.Equal(1, _saved);
    }

    [Fact]
    public void CopyTheBand_WhenItIsTyped_FillsTheRowAsksTheCountryAndGivesAllBack()
    {
        IRenderedComponent<BallDesk> desk = Desk();
        desk.Find("#grams").Input("50");
        Assert.Empty(desk.FindAll(".band-read"));

        desk.Find("#bandText").Input("4 ply 420 m/100 g flurpel");
        Assert.Equal("420", desk.Find("[id='band.metres']").GetAttribute("value"));
        Assert.Contains("at least 220 yd", Panel(desk), StringComparison.Ordinal);
        Assert.Contains("4 ply · flurpel", desk.Find(".band-box > .hint").TextContent, StringComparison.Ordinal);
        desk.Find("#plyCountry").Change("UnitedKingdom");
        Assert.Equal(WeightClass.Fingering, _form.WeightClass);
        Assert.EndsWith("it: flurpel", desk.Find(".band-box > .hint").TextContent, StringComparison.Ordinal);

        desk.FindAll("button").First(button => button.TextContent == "Undo what the band filled in").Click();

        Assert.Equal((null, null, "", 50m), (_form.WeightClass, _form.BandLength, _form.BandWords, _form.Grams));
        Assert.Empty(desk.FindAll(".band-read"));
        Assert.Contains("Count the wraps", Panel(desk), StringComparison.Ordinal);
    }

    /// <summary>Computed: 64 m to 50 g are 140 yd to 100 g, less than half of what yarn with 20 wraps has (360 to 530 yd, common practice).</summary>
    [Fact]
    public void CopyTheBand_WhenItContradictsTheWraps_TheEstimateSaysSo()
    {
        IRenderedComponent<BallDesk> desk = Desk();
        desk.Find("[id='wraps.count']").Input("20");
        desk.Find("#bandText").Input("64 m/50 g");

        Assert.Equal(64m, _form.BandLength);
        Assert.Contains("But 20 wraps per inch say fingering: check that the band belongs to this yarn.", Panel(desk), StringComparison.OrdinalIgnoreCase);
    }

    [Theory]
    [InlineData("48,5")]
    [InlineData("48.5")]
    public void Type_WhenDecimalsAreWrittenEitherWay_ReadsThem(string typed)
    {
        IRenderedComponent<BallDesk> desk = Desk();

        desk.Find("#grams").Input(typed);
        desk.Find("#ball").Submit();

        Assert.Equal((48.5m, 1), (_form.Grams, _saved));
    }

    [Fact]
    public void Type_WhenTheTextIsNoNumber_SavesNothing()
    {
        IRenderedComponent<BallDesk> desk = Desk();

        desk.Find("#grams").Input("a lot");
        desk.Find("#ball").Submit();

        Assert.Equal(0, _saved);
    }

    [Fact]
    public void Choose_WhenTheTextureIsNotSmooth_GreysTheWrapsAndSaysWhy()
    {
        IRenderedComponent<BallDesk> desk = Desk();
        desk.Find("[id='wraps.count']").Input("13");
        Assert.Contains("DK", Panel(desk), StringComparison.Ordinal);

        desk.Find("#texture").Change("Chenille");

        Assert.True(desk.Find(".ball-wraps").HasAttribute("disabled"));
        Assert.Contains("Wraps don't count on yarn that is chenille", desk.Find("#wraps-refused").TextContent, StringComparison.Ordinal);
        Assert.DoesNotContain("DK", Panel(desk), StringComparison.Ordinal);
    }

    [Fact]
    public void Step_WhenTheWrapsAreEmpty_BeginsInTheMiddle()
    {
        IRenderedComponent<BallDesk> desk = Desk();

        desk.Find(".ball-wraps [aria-label=more]").Click();

        Assert.Equal(10, _form.WrapsCount);
    }

    [Fact]
    public void Refuse_WhenFieldsAreNamed_TheSentencesStandBesideThem()
    {
        _form.Fibres[0].Percent = 80;
        IRenderedComponent<BallDesk> desk = Desk(
        [
            Refusal.Invalid("grams", "Enter the grams, or say that the mass is unknown."),
            Refusal.Invalid("wraps.count", "201 wraps: 1 to 200 is allowed."),
            Refusal.Invalid("fibres", "The percentages come to {0}, not 100.", 80),
            Refusal.Invalid("dyeLot", "Too long."),
            Refusal.Conflict("bag-closed", "The bag is closed."),
        ]);
        desk.Render(p => p.Add(d => d.Bench, Bag()));

        Assert.Equal("Enter the grams, or say that the mass is unknown.", desk.Find("#grams-error").TextContent.Trim());
        Assert.Equal("true", desk.Find("#grams").GetAttribute("aria-invalid"));
        Assert.NotEmpty(desk.FindAll("[id='wraps.count-error']"));
        Assert.Contains("come to 80", desk.Find("#fibres-error").TextContent, StringComparison.Ordinal);
        Assert.Equal("true", desk.Find("#fibres").GetAttribute("aria-invalid"));
        Assert.True(desk.Find("details.more").HasAttribute("open"));
        Assert.Equal(["The bag is closed."], desk.FindAll("form > [role=alert] p").Select(p => p.TextContent));
    }

    [Fact]
    public void Name_WhenAFibreIsChosen_CountsAsTheVolunteersJudgement()
    {
        IRenderedComponent<BallDesk> desk = Desk(policy: QuarantinePolicy.AnimalAndUnknownFibre);
        Assert.Contains("goes to quarantine: animal or unknown fibre", Panel(desk), StringComparison.Ordinal);

        desk.Find("#fibres").Change("CO");

        Assert.Equal(FibreBasis.VolunteerJudged, _form.FibreBasis);
        Assert.DoesNotContain("quarantine", Panel(desk), StringComparison.Ordinal);
    }

    [Fact]
    public void Pick_WhenASwatchIsPicked_SuggestsItsFamily()
    {
        IRenderedComponent<BallDesk> desk = Desk();

        desk.Find("#colourHex").Change("#c58aa0");

        Assert.Contains("so Pink is suggested", desk.Find(".colour-choice legend").TextContent, StringComparison.Ordinal);
        Assert.Equal("Pink", desk.Find(".family.chosen").TextContent.Trim());
    }

    [Fact]
    public void Edit_WhenALotIsCorrected_GramsAndBinAreNotOffered()
    {
        _form.LotId = Guid.CreateVersion7();
        IRenderedComponent<BallDesk> desk = Desk();

        Assert.True(desk.Find(".ball-grams").HasAttribute("disabled"));
        Assert.Empty(desk.FindAll("#binCode"));
        Assert.Equal("Save the changes", desk.Find("button[type=submit]").TextContent);
    }

    [Fact]
    public void Show_WhenThePseudoLanguageIsUsed_EveryTextIsLocalised()
    {
        Read(GuildStash.Web.Infrastructure.Localisation.PseudoLanguage.CultureName);
        (_form.Grams, _form.WrapsCount, _form.ColourHex) = (48, 13, "#c58aa0");

        Assert.Empty(UntranslatedText.Find(Desk().Markup));
    }
}
