using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using Xunit;

namespace GuildStash.Domain.Tests.Relotting;

public sealed class MergeRulesTests
{
    private static readonly FibreContent Wool = FibreContent.Create([new FibreShare("WO", 100)]).Value;

    private static MergeLot Lot(string code, Func<MergeTraits, MergeTraits>? with = null, YarnEvidence? evidence = null)
    {
        YarnEvidence known = evidence ?? new YarnEvidence { AssertedClass = WeightClass.Dk };
        MergeTraits traits = new()
        {
            Fibres = Wool,
            FibreBasis = FibreBasis.BandSeen,
            ColourFamily = ColourFamily.Blue,
            ColourHex = "#3a6ea8",
            MachineWashable = Tristate.Yes,
            Softness = Softness.Soft,
            Evidence = known,
            Estimate = YardageEstimator.Estimate(known, WeightClassTable.Default),
            ScaleDivisionMg = 1_000,
        };
        return new MergeLot { Code = code, OnHandMg = 100_000, InBinMg = 100_000, Traits = with?.Invoke(traits) ?? traits };
    }

    private static MergedLot Merge(params MergeLot[] lots) => MergeRules.Merge(lots).Value;

    private static string[] Keys(MergedLot merged) => [.. merged.Widened.Select(w => w.Key)];

    [Fact]
    public void Merge_WhenAlike_AsksNothing()
    {
        MergedLot merged = Merge(Lot("A", t => t with { Count = 2 }), Lot("B"), Lot("C"));
        Assert.Empty(merged.Widened);
        Assert.Equal((4, WeightClass.Dk), (merged.Traits.Count, merged.Traits.Evidence.AssertedClass));

        // Computed: √3 g for three weighings to 1 g.
        Assert.Equal(1_733, merged.Traits.ScaleDivisionMg);
    }

    [Fact]
    public void Merge_WhenASmellIsOnOne_TheBarIsOnAll()
    {
        MergedLot merged = Merge(Lot("A"), Lot("B", t => t with { Conditions = Conditions.Mothball | Conditions.Smoke }));
        Assert.Equal(Conditions.Mothball | Conditions.Smoke, merged.Traits.Conditions);
        Assert.Equal(["conditions"], Keys(merged));
        Assert.Contains("infant or hospital", merged.Widened[0].Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Merge_WhenTheyDiffer_TheCautiousWordHoldsAndIsSaid()
    {
        MergedLot merged = Merge(
            Lot("A", t => t with { DyeLot = "12", FibreBasis = FibreBasis.BandSeen }),
            Lot("B", t => t with { DyeLot = "14", FibreBasis = FibreBasis.VolunteerJudged, MachineWashable = Tristate.No, Softness = Softness.Medium, ColourFamily = ColourFamily.Red, ColourHex = "#b5303c" }));
        Assert.Equal(["dyeLot", "colour", "fibreBasis", "washable", "softness"], Keys(merged));
        Assert.Equal(
            ("", ColourFamily.Multicolour, null, FibreBasis.VolunteerJudged, Tristate.Unknown, Softness.Unknown),
            (merged.Traits.DyeLot, merged.Traits.ColourFamily, merged.Traits.ColourHex, merged.Traits.FibreBasis, merged.Traits.MachineWashable, merged.Traits.Softness));
    }

    [Fact]
    public void Merge_WhenFibresOfOneAreUnknown_NoneAreKnown()
    {
        MergedLot merged = Merge(Lot("A"), Lot("B", t => t with { Fibres = FibreContent.Unknown, FibreBasis = FibreBasis.Unknown }));
        Assert.True(merged.Traits.Fibres.IsUnknown);
        Assert.Equal(FibreBasis.Unknown, merged.Traits.FibreBasis);
        Assert.Equal(["fibres"], Keys(merged));
    }

    [Fact]
    public void Merge_WhenEvidenceDiffersAndAgrees_TheWeakestStands()
    {
        // A band of 235 yd to 100 g, 215 m, lies within what the class DK alone allows.
        YarnEvidence band = new() { AssertedClass = WeightClass.Dk, Band = Band.Create(115, 50).Value };
        MergedLot merged = Merge(Lot("A", evidence: band), Lot("B"));
        Assert.Null(merged.Traits.Evidence.Band);
        Assert.Equal(WeightClass.Dk, merged.Traits.Evidence.AssertedClass);
        Assert.Equal(["length"], Keys(merged));
        Assert.Contains("The weakest stands for all of it, that of B", merged.Widened[0].Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Merge_WhenTwoBandsDisagree_OnlyTheClassIsLeft()
    {
        YarnEvidence Banded(decimal metres) => new() { AssertedClass = WeightClass.Dk, Band = Band.Create(metres, 50).Value };
        MergeLot one = Lot("A", evidence: Banded(108));
        MergeLot two = Lot("B", evidence: Banded(125));
        Assert.Equal(one.Traits.Estimate!.WeightClass, two.Traits.Estimate!.WeightClass);

        MergedLot merged = Merge(one, two);

        Assert.Equal((null, one.Traits.Estimate.WeightClass), (merged.Traits.Evidence.Band, merged.Traits.Evidence.AssertedClass));
        Assert.Contains("Only the class is left", Assert.Single(merged.Widened).Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Merge_NeverPromisesMoreOfALotThanItsOwnEvidence()
    {
        YarnEvidence[] evidence =
        [
            new() { AssertedClass = WeightClass.Dk },
            new() { AssertedClass = WeightClass.Dk, Band = Band.Create(108, 50).Value },
            new() { AssertedClass = WeightClass.Dk, Band = Band.Create(125, 50).Value },
            new() { AssertedClass = WeightClass.Dk, Wraps = Wraps.Create(12, 1).Value },
        ];
        foreach ((YarnEvidence one, YarnEvidence two) in evidence.SelectMany(a => evidence.Select(b => (a, b))))
        {
            MergedLot merged = Merge(Lot("A", evidence: one), Lot("B", evidence: two));
            double low = YardageEstimator.Estimate(merged.Traits.Evidence, WeightClassTable.Default)!.Low.MetresPer100Grams;
            double least = new[] { one, two }.Min(e => YardageEstimator.Estimate(e, WeightClassTable.Default)!.Likely.MetresPer100Grams);
            Assert.True(low <= least, $"{low} m is promised, and one of them likely has {least} m to 100 g.");
        }
    }

    [Fact]
    public void Invalid_Lots_StayApart()
    {
        string[] Rules(MergeLot other) => [.. MergeRules.Merge([Lot("A"), other]).Refusals.Select(r => r.Rule)];
        Assert.Equal(["lot-in-quarantine"], Rules(Lot("B") with { IsInQuarantine = true }));
        Assert.Equal(["lot-closed"], Rules(Lot("B") with { IsClosed = true }));
        Assert.Equal(["mass-unknown"], Rules(Lot("B") with { IsWeighed = false }));
        Assert.Equal(["returns-wait"], Rules(Lot("B") with { HasReturnsWaiting = true }));
        Assert.Equal(["waits-already"], Rules(Lot("B") with { AwaitsSecondPerson = true }));
        Assert.Equal(["merge-classes"], Rules(Lot("B", evidence: new YarnEvidence { AssertedClass = WeightClass.Lace })));
        Assert.Equal(["merge-fibres"], Rules(Lot("B", t => t with { Fibres = FibreContent.Create([new FibreShare("CO", 100)]).Value })));
        Assert.Equal(["invalid-value"], Rules(Lot("A")));
        Assert.Equal("lot-in-quarantine", MergeRules.Merge([Lot("A") with { IsInQuarantine = true }, Lot("B") with { IsInQuarantine = true }]).Refusal.Rule);
    }
}
