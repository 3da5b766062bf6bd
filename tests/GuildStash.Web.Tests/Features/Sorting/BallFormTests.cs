using System.Text.Json;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

public sealed class BallFormTests
{
    private static BallForm Full() => new()
    {
        ColourHex = "#4f6d8f",
        WrapsCount = 13,
        WrapsInches = 2,
        WrapsRepeats = [12.5m, null, 13.5m],
        Grams = 420,
        ScaleDivisionGrams = 0.5m,
        CoreTareGrams = 20,
        PutUp = PutUp.Cone,
        Count = 2,
        WeightClass = WeightClass.Dk,
        BandLength = 200,
        BandUnit = LengthUnit.Yards,
        BandGrams = 100,
        Fibres = [new FibreForm { Code = "WO", Percent = 80 }, new FibreForm { Code = "PA", Percent = 20 }, new FibreForm()],
        FibreBasis = FibreBasis.BandSeen,
        ShelfBin = "K7M-S",
        QuarantineBin = "B2C-T",
        Softness = Softness.Soft,
        MachineWashable = Tristate.Yes,
        CareNotes = "cool wash",
        DyeLot = "41",
        Notes = "one knot",
    };

    private static LotInput Input(BallForm form, QuarantineReason? bag = null) => form.ToInput(QuarantinePolicy.OnSignsOnly, bag).Value;

    [Fact]
    public void Read_WhenAllIsFilledIn_GivesTheUseCaseAllOfIt()
    {
        LotInput input = Input(Full());

        Assert.Equal((420m, 0.5m, 20m, 2), (input.Grams, input.ScaleDivisionGrams, input.CoreTareGrams, input.Count));
        Assert.Equal((13m, 2m), (input.Wraps!.Count, input.Wraps.Inches));
        Assert.Equal([12.5m, 13.5m], input.Wraps.Repeats!);
        Assert.Equal((182.88m, 100m), (input.Band!.Metres, input.Band.Grams));
        Assert.Equal(["WO", "PA"], input.Fibres.Select(f => f.Code));
        Assert.Equal(("K7M-S", "#4f6d8f", null), (input.BinCode, input.ColourHex, input.ColourFamily));
        Assert.Equal(("cool wash", "41", "one knot"), (input.CareNotes, input.DyeLot, input.Notes));
    }

    [Fact]
    public void RoundtripJson_KeepsTheWholeForm()
    {
        BallForm again = JsonSerializer.Deserialize<BallForm>(JsonSerializer.Serialize(Full()))!;

        Assert.Equal(JsonSerializer.Serialize(Input(Full())), JsonSerializer.Serialize(Input(again)));
        Assert.Equal(Full().BandUnit, again.BandUnit);
    }

    [Fact]
    public void Next_WhenABallWasSaved_RepeatsWhatStaysTheSameAndNothingElse()
    {
        BallForm before = Full() with { FibreBasis = FibreBasis.VolunteerJudged };
        BallForm next = before.Next();

        Assert.Equal((PutUp.Cone, 20m, 0.5m, 2m), (next.PutUp, next.CoreTareGrams, next.ScaleDivisionGrams, next.WrapsInches));
        Assert.Equal((FibreBasis.VolunteerJudged, "K7M-S", "B2C-T", LengthUnit.Yards), (next.FibreBasis, next.ShelfBin, next.QuarantineBin, next.BandUnit));
        Assert.Equal(before.Fibres, next.Fibres);
        Assert.NotSame(before.Fibres[0], next.Fibres[0]);
        Assert.Equal((null, null, null, null), (next.Grams, next.WrapsCount, next.ColourHex, next.WeightClass));
        Assert.Equal((null, null, null, 1m), (next.BandLength, next.DyeLot, next.Notes, next.Count));
        Assert.Equal((Texture.Smooth, Tristate.Unknown, Softness.Unknown), (next.Texture, next.MachineWashable, next.Softness));
        Assert.Empty(next.WrapsRepeats);
        Assert.NotEqual(before.RequestId, next.RequestId);
    }

    [Fact]
    public void Next_WhenTheFibreWasSeenOnABand_SaysNothingOfTheNextBallsFibre()
    {
        BallForm next = Full().Next();

        Assert.Equal(FibreBasis.Unknown, next.FibreBasis);
        Assert.Equal([new FibreForm()], next.Fibres);
    }

    [Fact]
    public void Read_WhenTheTextureIsNotSmooth_LeavesTheWrapsOut()
    {
        BallForm form = Full();
        form.Texture = Texture.Boucle;

        Assert.Null(Input(form).Wraps);
        Assert.Equal(Texture.Boucle, Input(form).Texture);
    }

    [Fact]
    public void Read_WhenTheBallIsKeptApart_TakesTheQuarantineBin()
    {
        Assert.Equal("B2C-T", Input(Full(), QuarantineReason.Damp).BinCode);
        Assert.Equal("B2C-T", Full().ToInput(QuarantinePolicy.AnimalAndUnknownFibre, null).Value.BinCode);

        BallForm cotton = Full();
        cotton.Fibres = [new FibreForm { Code = "CO" }];
        Assert.Equal("K7M-S", cotton.ToInput(QuarantinePolicy.AnimalAndUnknownFibre, null).Value.BinCode);
    }

    [Fact]
    public void Read_WhenNobodyHadAScale_SendsNoGrams()
    {
        BallForm form = Full();
        form.MassUnknown = true;

        LotInput input = Input(form);
        Assert.Equal((null, null, null, true), (input.Grams, input.ScaleDivisionGrams, input.CoreTareGrams, input.MassUnknown));
    }

    [Fact]
    public void InvalidCount_IsRefusedBesideItsField()
    {
        BallForm form = Full();
        form.Count = 1.5m;

        Outcome<LotInput> input = form.ToInput(QuarantinePolicy.OnSignsOnly, null);

        Assert.Equal("count", input.Refusal.Field);
        Assert.Contains("1.5 were given", input.Refusal.ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("5000000000000000000000000")]
    [InlineData("-5000000000000000000000000")]
    public void ExtremeCount_ReachesTheRuleInsteadOfOverflowing(string count)
    {
        BallForm form = Full();
        form.Count = decimal.Parse(count, System.Globalization.CultureInfo.InvariantCulture);

        Assert.NotInRange(Input(form).Count!.Value, 1, LotFields.MostBalls);
    }

    [Fact]
    public void Pick_WhenNobodyChoseAFamily_SuggestsOneThatTheChoiceOverrules()
    {
        BallForm form = new() { ColourHex = "#c58aa0" };
        Assert.Equal((ColourFamily.Pink, null), (form.Family, form.ChosenFamily));

        form.Choose(ColourFamily.Purple);
        form.ColourHex = "#7a8f5a";
        Assert.Equal(ColourFamily.Purple, form.Family);
        Assert.Equal(ColourFamily.Purple, Input(form).ColourFamily);

        form.Choose(ColourFamily.Multicolour);
        Assert.Equal(ColourFamily.Multicolour, form.Family);
        Assert.True(Input(form).Multicolour);

        form.Choose(ColourFamily.Green);
        Assert.Equal((ColourFamily.Green, false), (form.Family, form.Multicolour));
    }

    [Fact]
    public void Show_WhenHalfABandIsRefused_NamesTheMissingHalf()
    {
        Refusal half = Refusal.Invalid("band", "A band needs metres and grams.");

        Assert.Equal("band.grams", new BallForm { BandLength = 200 }.Beside(half).Field);
        Assert.Equal("band.metres", new BallForm { BandGrams = 100 }.Beside(half).Field);
    }

    [Fact]
    public void KnownSwatches_LieInTheirOwnFamily() => Assert.All(
        Enum.GetValues<ColourFamily>().Where(f => f != ColourFamily.Multicolour),
        family => Assert.Equal(family, ColourNames.Describe(Colour.Parse(FamilySwatches.Of(family)).Value).Family));
}
