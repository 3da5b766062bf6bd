using GuildStash.Domain.Bands;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Sorting;
using Xunit;

namespace GuildStash.Web.Tests.Features.Sorting;

public sealed class BandInRowTests
{
    private const string Words = "80% WO 20% PA, LL 420 m/100 g, 2,5 mm, Partie 41, 28 sts/10 cm, flurpel, superwash";

    private readonly BandInRow _row = new();

    private static string? NotesOf(BallForm form) => form.ToInput(QuarantinePolicy.OnSignsOnly, null).Value.Notes;

    [Fact]
    public void Fill_WhenTheBandSaysMuch_EachFieldOfTheLotHasItsPartAndTheRestGoesIntoTheNotes()
    {
        BallForm form = new() { BandWords = Words, Notes = "one knot", BandUnit = LengthUnit.Yards };

        _row.Fill(form);

        Assert.Equal((420m, LengthUnit.Metres, 100m), (form.BandLength, form.BandUnit, form.BandGrams));
        Assert.Equal([("WO", 80m), ("PA", 20m)], form.Fibres.Select(fibre => (fibre.Code, fibre.Percent!.Value)));
        Assert.Equal((FibreBasis.BandSeen, 28m, "41", Tristate.Yes), (form.FibreBasis, form.GaugeStitches, form.DyeLot, form.MachineWashable));
        Assert.Equal("one knot", form.Notes);
        Assert.Equal("one knot On the band: 2,5 mm · flurpel", NotesOf(form));
    }

    [Fact]
    public void Fill_WhenTheBandNamesThicknessAndWash_TheyAreKeptAndTakenBack()
    {
        BallForm form = new() { BandWords = "合太 machine wash 40 °C" };

        _row.Fill(form);
        Assert.Equal((300, 40), ((int)Math.Round(form.NamedMetresPer100g!.Value), form.MaxCelsius));

        form.BandWords = "";
        _row.Fill(form);
        Assert.Equal((null, null), (form.NamedMetresPer100g, form.MaxCelsius));
    }

    [Fact]
    public void TakeBack_WhenAFieldWasChangedMeanwhile_OnlyTheOthersHoldWhatTheyHeld()
    {
        BallForm form = new() { BandWords = Words, BandUnit = LengthUnit.Yards, Fibres = [new FibreForm { Code = "CO" }], FibreBasis = FibreBasis.DonorSaid, DyeLot = "7" };
        _row.Fill(form);
        form.GaugeStitches = 30;
        Assert.True(_row.HasFilled);

        form.BandWords = "";
        _row.Fill(form);

        Assert.Equal((null, LengthUnit.Yards, null, 30m), (form.BandLength, form.BandUnit, form.BandGrams, form.GaugeStitches));
        Assert.Equal(("CO", FibreBasis.DonorSaid, "7", Tristate.Unknown), (form.Fibres.Single().Code, form.FibreBasis, form.DyeLot, form.MachineWashable));
        Assert.Null(NotesOf(form));
        Assert.False(_row.HasFilled);
    }

    [Fact]
    public void Fill_WhenTypedLetterByLetter_TheFieldsFollowTheLastWords()
    {
        BallForm form = new();
        for (int length = 1; length <= Words.Length; length++)
        {
            form.BandWords = Words[..length];
            _row.Fill(form);
        }

        Assert.Equal((420m, 100m, "41"), (form.BandLength, form.BandGrams, form.DyeLot));
        _row.TakeBack(form);
        Assert.Equal((null, null, null), (form.BandLength, form.BandGrams, form.DyeLot));
        Assert.Equal("", Assert.Single(form.Fibres).Code);
    }

    /// <summary>Common practice: 4 ply is a fingering yarn in the United Kingdom, a medium one in the USA.</summary>
    [Fact]
    public void KnownPly_WhenTheCountryIsNotSaid_IsAskedAndNeverGuessed()
    {
        BallForm form = new() { BandWords = "4 ply" };

        Assert.Equal([BandQuestion.PlyCountry], _row.Fill(form).Asked);
        Assert.Null(form.WeightClass);
        Assert.Equal("On the band: 4 ply", NotesOf(form));

        form.Country = PlyCountry.UnitedKingdom;
        _row.Fill(form);
        Assert.Equal(WeightClass.Fingering, form.WeightClass);
        form.Country = PlyCountry.UnitedStates;
        Assert.Equal([BandQuestion.PlyCountry], _row.Fill(form).Asked);
        Assert.Equal(WeightClass.Medium, form.WeightClass);
        Assert.Null(NotesOf(form));
    }

    [Fact]
    public void Fill_WhenTheBandContradictsItself_FillsNeitherAndKeepsBoth()
    {
        BallForm form = new() { BandWords = "420 m/100 g 210 m/100 g" };

        _row.Fill(form);

        Assert.Null(form.BandLength);
        Assert.Equal("On the band: 420 m/100 g · 210 m/100 g", NotesOf(form));
    }

    [Fact]
    public void ExtremeWords_WhenTheBandIsLongerThanAnyBand_FillsNothing()
    {
        BallForm form = new() { BandWords = new string('x', BandText.MaxLength + 1) };

        Assert.Equal("bandText", _row.Fill(form).Read.Refusal.Field);
        Assert.False(_row.HasFilled);
    }
}
