using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;

namespace GuildStash.Planning.Tests;

/// <summary>What could not be made is never without a sentence that names the culprit.</summary>
public sealed class ReasonTests
{
    private static PlanAnswer Solve(IEnumerable<PlanLot> lots, params PlanPiece[] pieces) => Planner.Solve(Rooms.Problem(lots, pieces), Rooms.Quick, cancellation: TestContext.Current.CancellationToken);

    private static PlanReason Only(PlanAnswer answer)
    {
        Assert.Equal((PlanStatus.None, 0), (answer.Status, answer.Assignments.Count));
        return Assert.Single(answer.Reasons);
    }

    private static PlanLot Of(string code, params string[] fibres) => Rooms.Lot(code, 100, 200) with
    {
        Traits = new(FibreContent.Create(fibres.Select(fibre => new FibreShare(fibre))).Value, Tristate.Yes, Conditions.None, false, Softness.Unknown),
    };

    [Fact]
    public void Find_WhenNoRuleLetsALotPass_NamesRulesAndLots()
    {
        PlanReason reason = Only(Solve(
            [Of("A", "WO"), Of("B", "WO", "PA"), Rooms.Lot("C", 100, 60, WeightClass.Bulky)],
            Rooms.Piece("Baby hat", 1, Rooms.Part(40)) with { Rules = RecipientRules.NoWool }));

        Assert.Equal("no-lot-fits", reason.Rule);
        Assert.Equal(
            "None of 3 lots fits \"Body\" of \"Baby hat\": \"No wool\" removes 2 (A, B); \"class dk\" removes 1 (C). Without \"No wool\" alone these would fit: A, B.",
            reason.Sentence.ToString());
    }

    [Fact]
    public void Find_WhenRulesContradict_NamesBoth()
    {
        PlanReason reason = Only(Solve([Of("A", "WO")], Rooms.Piece("Cap", 1, Rooms.Part(40) with { OnlyFibres = ["WO", "WM"] }) with { Rules = RecipientRules.NoAnimalFibre }));

        Assert.Equal("contradiction", reason.Rule);
        Assert.Contains("only WO, WM is asked for, and the rule \"No animal fibre\" bars all of it", reason.Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Find_WhenTheLongestLotIsTooShort_NamesItAndBothLengths()
    {
        PlanReason reason = Only(Solve([Rooms.Lot("A", 50, 200), Rooms.Lot("B", 60, 200)], Rooms.Piece("Scarf", 1, Rooms.Part(300))));

        Assert.Equal("too-short", reason.Rule);
        Assert.Contains("takes 300 m from one lot; the longest of 2 lots that fit, B, gives 120 m", reason.Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Find_WhenJoinedLotsAreTooShort_TellsWhatTheyGive()
    {
        PlanReason reason = Only(Solve([Rooms.Lot("A", 50, 200), Rooms.Lot("B", 60, 200), Rooms.Lot("C", 70, 200)], Rooms.Piece("Scarf", 1, Rooms.Part(300, maxLots: 2))));

        Assert.Contains("at most 2 of them, give 260 m", reason.Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Find_WhenNoFamiliesStandOut_NamesThem()
    {
        PlanReason reason = Only(Solve(
            [Rooms.Lot("A", 100, 200, family: ColourFamily.Pink), Rooms.Lot("B", 100, 200, family: ColourFamily.Red)],
            Rooms.Piece("Hat", 1, Rooms.Part(40, colour: ColourWish.OneFamily), Rooms.Part(40, "Trim", colour: ColourWish.ContrastTo("Body")))));

        Assert.Equal(("colours", "Trim"), (reason.Rule, reason.Part));
        Assert.Contains("(pink, red; pink, red)", reason.Sentence.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Find_WhenTheHoursAreSpent_SaysSo()
    {
        PlanInput input = new() { Lots = [Rooms.Lot("A", 500, 200)], Pieces = [Rooms.Piece("Hat", 5, Rooms.Part(40)) with { Minutes = 240 }], MinutesLimit = 600 };

        PlanAnswer answer = Planner.Solve(Rooms.Problem(input), Rooms.Quick, cancellation: TestContext.Current.CancellationToken);

        Assert.Equal(2, answer.Count);
        Assert.Equal("2 of 5 \"Hat\" can be made in 600 minutes: the plan takes 480, one more would take 240.", Assert.Single(answer.Reasons).Sentence.ToString());
    }

    [Fact]
    public void Find_WhenThereAreNoLots_SaysSo()
    {
        PlanAnswer answer = Solve([], Rooms.Piece("Hat", 3, Rooms.Part(40)));

        Assert.Equal(PlanStatus.None, answer.Status);
        Assert.Contains(answer.Reasons, reason => reason.Rule == "no-lots" && reason.Piece is null);
        Shortage missing = Assert.Single(answer.Shortages);
        // Computed: three times 40 m; DK has 200 yd or 182.88 m to 100 g at its low end, so 65.6 g, told as 66.
        Assert.Equal((3, 120.0, Mass.FromGrams(66)), (missing.Pieces, missing.Length.Metres, missing.Mass));
    }

    [Fact]
    public void WhatIf_WhenAsked_ComparesBothAnswers()
    {
        PlanInput input = new() { Lots = [Of("A", "WO")], Pieces = [Rooms.Piece("Hat", 2, Rooms.Part(90)) with { Rules = RecipientRules.NoWool }] };
        PlanAnswer now = Planner.Solve(Rooms.Problem(input), Rooms.Quick, cancellation: TestContext.Current.CancellationToken);
        PlanComparison Ask(PlanInput then) => PlanComparison.Of(now, Planner.Solve(Rooms.Problem(then), Rooms.Quick, cancellation: TestContext.Current.CancellationToken));

        Assert.Equal("2 \"Hat\" instead of 0; 1 lots are opened instead of 0.", Ask(WhatIf.Without(input, "hat", RecipientRules.NoWool)).Sentence.ToString());
        Assert.Empty(Ask(WhatIf.More(input, "Hat")).Pieces);
        // Computed: 2 kg of DK at 182.88 m to 100 g are 3,657 m, far more than 180 m.
        Assert.Equal(new PieceChange("Hat", 0, 2), Assert.Single(Ask(WhatIf.WithBag(input, Mass.FromGrams(2_000), WeightClass.Dk, ColourFamily.Blue, WeightClassTable.Default, FibreContent.Create([new("PAN")]).Value)).Pieces));
        Assert.Equal(new PieceChange("Cap", null, 1), Assert.Single(Ask(WhatIf.With(input, Rooms.Piece("Cap", 1, Rooms.Part(50)))).Pieces));
    }
}
