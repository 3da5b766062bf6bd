using GuildStash.Domain.Intake;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Domain.Tests.Quarantine;

public sealed class ReleaseRulesTests
{
    private static readonly DateTimeOffset Since = new(2026, 2, 1, 10, 0, 0, TimeSpan.Zero);
    private static readonly QuarantineProtocol Protocol = QuarantineProtocol.Usual with { FreezerCycles = 2 };

    [Theory]
    [InlineData(QuarantineReason.Policy, 0, 0, false)]
    [InlineData(QuarantineReason.Policy, 29, 1, false)]
    [InlineData(QuarantineReason.Policy, 30, 0, true)]
    [InlineData(QuarantineReason.AnimalOrUnknownFibre, 0, 1, false)]
    [InlineData(QuarantineReason.AnimalOrUnknownFibre, 16, 2, true)]
    [InlineData(QuarantineReason.Damp, 0, 0, true)]
    [InlineData(QuarantineReason.ReturnNotInspected, 0, 0, true)]
    [InlineData(QuarantineReason.SignsOfInsects, 700, 9, false)]
    [InlineData(QuarantineReason.SignsOfMould, 700, 9, false)]
    public void Release_NeedsTreatmentOrTimeByTheProtocol(QuarantineReason reason, int days, int goodRuns, bool may) =>
        Assert.Equal(may, Ask(new QuarantineStanding(reason, Conditions.None, Since, goodRuns, false), days) is null);

    [Fact]
    public void Release_WhenNeitherIsEnough_SaysWhatIsMissing() => Assert.Equal(
        "Bag D-2026-0001/1 has been apart for 12 days, and 1 freezer runs of it met the guild's protocol. 30 days or 2 such runs are needed, and then the inspection. Freeze it, or wait 18 days.",
        Ask(new QuarantineStanding(QuarantineReason.Policy, Conditions.None, Since, 1, false), 12)!.ToString());

    [Fact]
    public void Release_OfMouldInsectsOrWhatLiesInTheFreezer_IsRefusedWhateverTheReason()
    {
        Assert.Equal("stays-shut", Ask(new QuarantineStanding(QuarantineReason.Policy, Conditions.Mould, Since, 9, false), 700)!.Rule);
        Assert.Equal("stays-shut", Ask(new QuarantineStanding(QuarantineReason.Damp, Conditions.Insects, Since, 9, false), 700)!.Rule);
        Assert.Equal("in-freezer", Ask(new QuarantineStanding(QuarantineReason.Policy, Conditions.None, Since, 9, true), 700)!.Rule);
    }

    [Fact]
    public void KnownBar_OfMothballs_OutlastsSplitMergeReturnAndWashing()
    {
        // Mothballs (naphthalene, PDB) are pesticides; infants were poisoned by clothing stored with naphthalene (US EPA).
        Assert.Equal(Conditions.Mothball | Conditions.Smoke, ConditionRules.Together(Conditions.Smoke, Conditions.Mothball, Conditions.None));
        Assert.Equal("mothball-for-good", ConditionRules.Noted(Conditions.Mothball | Conditions.Smoke, Conditions.None, Conditions.Mothball).Refusal.Rule);
        Assert.Equal(Conditions.Mothball, ConditionRules.Noted(Conditions.Mothball | Conditions.Smoke, Conditions.None, Conditions.Smoke).Value);
        Assert.Equal("stays-shut", ConditionRules.Noted(Conditions.Insects, Conditions.None, Conditions.Insects).Refusal.Rule);
    }

    private static Refusal? Ask(QuarantineStanding standing, int days) => ReleaseRules.MayBeReleased(standing, Protocol, Since.AddDays(days), "Bag D-2026-0001/1");
}
