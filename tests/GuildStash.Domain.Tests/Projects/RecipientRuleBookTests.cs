using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using Xunit;

namespace GuildStash.Domain.Tests.Projects;

public sealed class RecipientRuleBookTests
{
    private static readonly LotTraits Fine = new(FibreContent.Create([new FibreShare("PAN")]).Value, Tristate.Yes, Conditions.None, Metallic: false, Softness.Soft);

    private static LotTraits Of(string fibre) => Fine with { Fibres = FibreContent.Create([new FibreShare(fibre)]).Value };

    public static TheoryData<RecipientRules, string, LotTraits> Breaches => new()
    {
        { RecipientRules.WashableOnly, "washable-only", Fine with { MachineWashable = Tristate.No } },
        { RecipientRules.WashableOnly, "washable-only", Fine with { MachineWashable = Tristate.Unknown } },
        { RecipientRules.NoWool, "no-wool", Of("WO") },
        { RecipientRules.NoAnimalFibre, "no-animal-fibre", Of("SE") },
        { RecipientRules.NoUnknownFibre, "no-unknown-fibre", Fine with { Fibres = FibreContent.Unknown } },
        { RecipientRules.SmokeFree, "smoke-free", Fine with { Conditions = Conditions.Smoke } },
        { RecipientRules.PetFree, "pet-free", Fine with { Conditions = Conditions.PetHair } },
        { RecipientRules.ScentFree, "scent-free", Fine with { Conditions = Conditions.Perfume } },
        { RecipientRules.InfantOrHospital, "no-mothball", Fine with { Conditions = Conditions.Mothball } },
        { RecipientRules.NoMetallic, "no-metallic", Fine with { Metallic = true } },
        { RecipientRules.SoftOnly, "soft-only", Fine with { Softness = Softness.Scratchy } },
    };

    [Theory]
    [MemberData(nameof(Breaches))]
    public void Check_WhenALotBreaksOneRule_NamesThatRuleLotAndProject(RecipientRules rule, string key, LotTraits lot)
    {
        IReadOnlyList<Refusal> refusals = RecipientRuleBook.Check(rule, lot, "K7M4-P9U", "Caps");
        Refusal refusal = Assert.Single(refusals);
        Assert.Equal((key, RefusalKind.Conflict), (refusal.Rule, refusal.Kind));
        Assert.Contains("K7M4-P9U", refusal.ToString(), StringComparison.Ordinal);
        Assert.Contains("Caps", refusal.ToString(), StringComparison.Ordinal);
        Assert.Empty(RecipientRuleBook.Check(RecipientRules.None, lot, "K7M4-P9U", "Caps"));
    }

    [Fact]
    public void Check_WhenALotIsFine_PassesEveryRuleAtOnce() =>
        Assert.Empty(RecipientRuleBook.Check((RecipientRules)1023, Fine, "K7M4-P9U", "Caps"));

    [Fact]
    public void Check_WhenSeveralRulesAreBroken_NamesAllOfThem()
    {
        LotTraits lot = Of("WO") with { MachineWashable = Tristate.No, Conditions = Conditions.Smoke };
        IReadOnlyList<Refusal> refusals = RecipientRuleBook.Check(RecipientRules.WashableOnly | RecipientRules.NoWool | RecipientRules.SmokeFree, lot, "K7M4-P9U", "Caps");
        Assert.Equal(["washable-only", "no-wool", "smoke-free"], refusals.Select(r => r.Rule));
    }

    [Fact]
    public void Each_NamesEveryRuleOnce()
    {
        Assert.Equal(Enum.GetValues<RecipientRules>().Length - 1, RecipientRuleBook.Each.Count);
        Assert.Equal(RecipientRuleBook.Each.Count, RecipientRuleBook.Each.Select(r => r.Key).Distinct().Count());
    }
}
