using Bunit;
using GuildStash.Data.Projects;
using GuildStash.Domain.Ledger;
using GuildStash.Planning;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Tests.Components;
using Xunit;

namespace GuildStash.Web.Tests.Features.Planning;

/// <summary>How good and how sure a plan is, told from its figures alone.</summary>
public sealed class PlanQualityTests : ShellTest
{
    [Fact]
    public void MeasureFirst_ListsOnlyLotsThatChangeTheChanceByAWholePercent()
    {
        IRenderedComponent<PlanQuality> page = Show(0.49, ("K7M4P9U", 0.49), ("B2C3D4U", 0.481), ("Z3X8K2M", 0.48));

        Assert.Equal("Z3X8K2M then the chance is 48 %", Plain(Assert.Single(page.FindAll("li")).TextContent));
    }

    [Fact]
    public void MeasureFirst_WhenNoLotChangesMuch_SaysSo()
    {
        IRenderedComponent<PlanQuality> page = Show(0.49, ("K7M4P9U", 0.49), ("B2C3D4U", 0.485));

        Assert.Empty(page.FindAll("li"));
        Assert.Contains("Measuring one lot alone would change this chance by less than 1 %.", Plain(page.Markup), StringComparison.Ordinal);
        Assert.DoesNotContain("Measuring one lot", Show(0.001, ("K7M4P9U", 0)).Markup, StringComparison.Ordinal);
    }

    [Fact]
    public void Levels_AlwaysHaveAUnitAndSayWhatIsNotProven()
    {
        IRenderedComponent<PlanQuality> page = Show(0);

        Assert.Equal(
            ["571 points by priority – proven: no plan does better", "164 lots and joins – no plan gets better than 122 lots and joins; that is 26 % away"],
            page.FindAll("dd").Select(each => Plain(each.TextContent)));
    }

    [Fact]
    public void Story_WhenAMemberKeepsYarn_DoesNotSayThatItWasPassedOn()
    {
        StoryLine kept = new(1, DateTimeOffset.UnixEpoch, "", MovementReason.Kept, PlaceKind.Member, "Mia Member", PlaceKind.PassedOn, "", 20_000, "");
        IRenderedComponent<LotStoryList> story = Ui.Render<LotStoryList>(p => p.Add(list => list.Lines, [kept]));

        Assert.Equal("Mia Member → theirs for good", story.Find(".way").TextContent);
    }

    private static string Plain(string text) => string.Join(' ', text.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));

    private IRenderedComponent<PlanQuality> Show(double chance, params (string Lot, double Then)[] measure)
    {
        PlanResult answer = new()
        {
            Safety = 0.9,
            ChanceOfShort = chance,
            Made = [new PlannedPiece("Hat", "Hat", null, null, null, null, 0, 3) { Count = 3, Wanted = 3 }],
            Levels = [new PlanLevel(PlanStage.Pieces, 571, 571, 0), new PlanLevel(PlanStage.LotsAndJoins, 164, 122, 0.26)],
            Measure = [.. measure.Select(each => new PlannedMeasuring(each.Lot, 0.1, each.Then, 12))],
        };
        PlanView plan = new()
        {
            Id = Guid.Empty,
            Number = "P-2026-0001",
            Name = "",
            Purpose = PlanPurpose.Room,
            Pulse = new PlanPulse(PlanState.Done, null, false, null, DateTimeOffset.UnixEpoch),
            Ask = new PlanAsk(),
            AskedBy = "Mia Member",
            Answer = answer,
            Lots = measure.ToDictionary(each => each.Lot, each => new PlannedLot(Guid.Empty, each.Lot, 100_000, 100, null, null, null, "K7M-S", "")),
        };
        return Ui.Render<PlanQuality>(p => p.Add(page => page.Plan, plan).Add(page => page.Answer, answer));
    }
}
