using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Domain.Tests.Intake;

public sealed class ConditionRulesTests
{
    private static readonly FibreContent Wool = FibreContent.Create([new FibreShare("WO")]).Value;
    private static readonly FibreContent Acrylic = FibreContent.Create([new FibreShare("PAN")]).Value;

    [Theory]
    [InlineData(QuarantinePolicy.OnSignsOnly, Conditions.None, null)]
    [InlineData(QuarantinePolicy.OnSignsOnly, Conditions.Smoke, null)]
    [InlineData(QuarantinePolicy.OnSignsOnly, Conditions.Insects, QuarantineReason.SignsOfInsects)]
    [InlineData(QuarantinePolicy.OnSignsOnly, Conditions.Mould, QuarantineReason.SignsOfMould)]
    [InlineData(QuarantinePolicy.OnSignsOnly, Conditions.Damp, QuarantineReason.Damp)]
    [InlineData(QuarantinePolicy.OnSignsOnly, Conditions.Mould | Conditions.Insects, QuarantineReason.SignsOfInsects)]
    [InlineData(QuarantinePolicy.AnimalAndUnknownFibre, Conditions.None, null)]
    [InlineData(QuarantinePolicy.EveryBag, Conditions.None, QuarantineReason.Policy)]
    [InlineData(QuarantinePolicy.EveryBag, Conditions.Insects, QuarantineReason.SignsOfInsects)]
    public void BagQuarantine_FollowsSignsFirstThenPolicy(QuarantinePolicy policy, Conditions conditions, QuarantineReason? expected) =>
        Assert.Equal(expected, ConditionRules.BagQuarantine(policy, conditions));

    [Fact]
    public void LotQuarantine_WhenPolicyIsAnimalAndUnknown_LooksAtTheFibre()
    {
        Assert.Equal(QuarantineReason.AnimalOrUnknownFibre, ConditionRules.LotQuarantine(QuarantinePolicy.AnimalAndUnknownFibre, null, Wool));
        Assert.Equal(QuarantineReason.AnimalOrUnknownFibre, ConditionRules.LotQuarantine(QuarantinePolicy.AnimalAndUnknownFibre, null, FibreContent.Unknown));
        Assert.Null(ConditionRules.LotQuarantine(QuarantinePolicy.AnimalAndUnknownFibre, null, Acrylic));
        Assert.Null(ConditionRules.LotQuarantine(QuarantinePolicy.OnSignsOnly, null, Wool));
        Assert.Equal(QuarantineReason.Damp, ConditionRules.LotQuarantine(QuarantinePolicy.OnSignsOnly, QuarantineReason.Damp, Acrylic));
    }

    [Theory]
    [InlineData(Conditions.Mould, true)]
    [InlineData(Conditions.Insects | Conditions.Smoke, true)]
    [InlineData(Conditions.Damp, false)]
    [InlineData(Conditions.Mothball, false)]
    public void StaysShut_OnlyForMouldAndInsects(Conditions conditions, bool expected) => Assert.Equal(expected, ConditionRules.StaysShut(conditions));

    [Fact]
    public void RoundtripKeys_ForEveryCombination()
    {
        for (int bits = 0; bits <= (int)ConditionRules.All; bits++)
        {
            Conditions conditions = (Conditions)bits;
            Assert.Equal(conditions, ConditionRules.FromKeys(ConditionRules.Keys(conditions)).Value);
        }
    }

    [Fact]
    public void InvalidKey_IsRefusedWithThoseThatExist()
    {
        Outcome<Conditions> outcome = ConditionRules.FromKeys(["smoke", "glitter"]);
        Assert.Equal("conditions", outcome.Refusal.Field);
        Assert.Contains("\"glitter\"", outcome.Refusal.ToString(), StringComparison.Ordinal);
        Assert.Contains("petHair", outcome.Refusal.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void Cautions_WhenSeveral_TellTheMostUrgentFirst()
    {
        IReadOnlyList<Phrase> cautions = ConditionRules.Cautions(Conditions.Smoke | Conditions.Mothball | Conditions.Insects);
        Assert.Equal(3, cautions.Count);
        Assert.StartsWith("Insects", cautions[0].ToString(), StringComparison.Ordinal);
        Assert.Contains("never goes to infant or hospital projects", cautions[1].ToString(), StringComparison.Ordinal);
        Assert.Empty(ConditionRules.Cautions(Conditions.None));
    }
}
