using GuildStash.Domain.Approvals;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Domain.Tests.Counting;

public sealed class CountRulesTests
{
    private static readonly DateTimeOffset Begun = new(2026, 3, 2, 18, 0, 0, TimeSpan.Zero);
    private static readonly Guid Counter = Guid.Parse("00000000-0000-7000-8000-000000000001");
    private static readonly Guid Other = Guid.Parse("00000000-0000-7000-8000-000000000002");
    private static readonly RunningCount Running = new("K7M-S", Counter, "Vera", Begun, CountRules.LapsesAt(Begun));

    [Fact]
    public void Weigh_ByTheCounterUntilItLapses_IsAllowed()
    {
        Assert.Null(CountRules.MayWeigh(Running, Counter, Begun.AddHours(4).AddTicks(-1)));
        Assert.Equal("count-lapsed", CountRules.MayWeigh(Running, Counter, Begun.AddHours(4))!.Rule);
        Assert.Equal("count-is-anothers", CountRules.MayWeigh(Running, Other, Begun)!.Rule);
    }

    [Theory]
    [InlineData(true, Role.Volunteer, true)]
    [InlineData(false, Role.Volunteer, false)]
    [InlineData(false, Role.Coordinator, true)]
    [InlineData(false, Role.Administrator, true)]
    public void End_IsForTheCounterAndCoordinators(bool own, Role role, bool may) => Assert.Equal(may, CountRules.MayEnd(Running, own ? Counter : Other, role) is null);

    [Fact]
    public void Frozen_SaysWhoCountsSinceWhen() => Assert.Equal(
        "Vera has been counting bin K7M-S since 18:00: nothing leaves or enters until the count is ended. Ask Vera to end it, or a coordinator; holds may still be placed.",
        CountRules.IsFrozen("K7M-S", "Vera", "18:00").ToString());

    [Fact]
    public void Found_BelowWhatIsPromised_NamesTheHolders()
    {
        Refusal? refusal = CountRules.MayBeFound(69_999, 70_000, "K7M4-P9U", new Phrase("{0} of Mia", Mass.FromMilligrams(70_000)), "lots[0]");

        Assert.Equal("70 g of lot K7M4-P9U are promised, more than was found: 70 g of Mia. First cancel a request under Hand-over, or put a kit back on the kit's own page.", refusal!.ToString());
        Assert.Null(CountRules.MayBeFound(70_000, 70_000, "K7M4-P9U", null, "lots[0]"));
    }

    [Theory]
    [InlineData(12, 20, false, 14)]
    [InlineData(0, 6, false, 0)]
    [InlineData(0, 0, true, 1_000)]
    public void KnownScore_IsMovementsAndWeeks(int movements, int days, bool differs, int points) => Assert.Equal(points, CountPlan.Score(movements, days, differs));

    /// <summary>Computed: 5 of 25 is 20 %; from 20 divisions on nothing is said.</summary>
    [Theory]
    [InlineData(25_000, 5_000, "25 g on a scale that shows 5 g is sure to ±20 % only. Use a finer one if there is one.")]
    [InlineData(99_999, 5_000, "99.999 g on a scale that shows 5 g is sure to ±5 % only. Use a finer one if there is one.")]
    [InlineData(100_000, 5_000, null)]
    [InlineData(20_000, 1_000, null)]
    [InlineData(1_000, null, null)]
    [InlineData(0, 5_000, null)]
    public void KnownCoarseness_IsOneDivisionOfTheMass(long mg, int? division, string? sentence) => Assert.Equal(sentence, ScaleRules.TooCoarse(mg, division)?.ToString());

    [Theory]
    [InlineData(1_000_000, 1_001_000, 1_000, true)]
    [InlineData(1_000_000, 1_001_001, 1_000, false)]
    [InlineData(1_000_000, 998_999, 1_000, false)]
    public void Check_WithAKnownMass_AllowsOneDivision(long nominal, long shown, long division, bool right) => Assert.Equal(right, ScaleRules.IsRight(nominal, shown, division));

    [Fact]
    public void Request_SaysWhatWasFoundAndWhatChangedSince()
    {
        CountDifferenceLine line = new(Counter, "K7M4P9U", 100_000, 60_000, 5_000, null);
        CountDifferenceRequest one = new(Other, "K7MS", [line]);

        Assert.Equal("Lot K7M4-P9U: 60 g found, 100 g in the books, beyond ± 5 g.", one.Sentence().ToString());
        Assert.Equal("Lot K7M4-P9U: 60 g found, 100 g in the books, beyond ± 5 g. Lot K7M4-P9U: 60 g found, 100 g in the books, beyond ± 5 g.", (one with { Lines = [line, line] }).Sentence().ToString());
        Assert.Equal("4 lots of bin K7M-S differ beyond their tolerance, together by -160 g.", (one with { Lines = [line, line, line, line] }).Sentence().ToString());
        Assert.Empty(one.Since(new Dictionary<Guid, long> { [Counter] = 100_000 }));
        Assert.Equal(
            "When lot K7M4-P9U was counted, the books had 100 g there; now they have 80 g. The difference of -40 g would be booked on that.",
            Assert.Single(one.Since(new Dictionary<Guid, long> { [Counter] = 80_000 })).ToString());
    }
}
