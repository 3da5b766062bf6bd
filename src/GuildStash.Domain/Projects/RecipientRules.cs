using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>What a recipient accepts. The recipient's own list always wins over these rules.</summary>
[Flags]
public enum RecipientRules
{
    None = 0,
    WashableOnly = 1,
    NoWool = 2,
    NoAnimalFibre = 4,
    NoUnknownFibre = 8,
    SmokeFree = 16,
    PetFree = 32,
    ScentFree = 64,

    /// <summary>For infants or a hospital: yarn that ever smelled of mothballs is barred for good.</summary>
    InfantOrHospital = 128,
    NoMetallic = 256,
    SoftOnly = 512,
}

/// <summary>What the rules look at on a lot.</summary>
public sealed record LotTraits(FibreContent Fibres, Tristate MachineWashable, Conditions Conditions, bool Metallic, Softness Softness);

/// <summary>Checks a lot against a recipient's rules; each refusal names the rule.</summary>
public static class RecipientRuleBook
{
    private static readonly (RecipientRules Rule, string Key, string Name, Func<LotTraits, bool> Breaks, string Sentence)[] Book =
    [
        (RecipientRules.WashableOnly, "washable-only", "Machine-washable only", t => t.MachineWashable != Tristate.Yes,
            "Lot {0} breaks the rule \"machine-washable only\" of {1}: it is not known to be machine-washable."),
        (RecipientRules.NoWool, "no-wool", "No wool", t => t.Fibres.HasWool,
            "Lot {0} breaks the rule \"no wool\" of {1}: it contains wool."),
        (RecipientRules.NoAnimalFibre, "no-animal-fibre", "No animal fibre", t => t.Fibres.HasAnimal,
            "Lot {0} breaks the rule \"no animal fibre\" of {1}: it contains animal fibre."),
        (RecipientRules.NoUnknownFibre, "no-unknown-fibre", "No unknown fibre", t => t.Fibres.IsUnknown,
            "Lot {0} breaks the rule \"no unknown fibre\" of {1}: nobody knows what it is made of."),
        (RecipientRules.SmokeFree, "smoke-free", "Smoke-free", t => t.Conditions.HasFlag(Conditions.Smoke),
            "Lot {0} breaks the rule \"smoke-free\" of {1}: smoke was noted on it."),
        (RecipientRules.PetFree, "pet-free", "Free of pet hair", t => t.Conditions.HasFlag(Conditions.PetHair),
            "Lot {0} breaks the rule \"free of pet hair\" of {1}: pet hair was noted on it."),
        (RecipientRules.ScentFree, "scent-free", "Scent-free", t => (t.Conditions & (Conditions.Perfume | Conditions.Mothball | Conditions.Smoke)) != 0,
            "Lot {0} breaks the rule \"scent-free\" of {1}: a smell was noted on it."),
        (RecipientRules.InfantOrHospital, "no-mothball", "For infants or a hospital: never any mothball smell", t => t.Conditions.HasFlag(Conditions.Mothball),
            "Lot {0} breaks the rule \"never any mothball smell\" of {1}: mothball smell was noted on it, and airing does not lift that."),
        (RecipientRules.NoMetallic, "no-metallic", "No metallic thread", t => t.Metallic,
            "Lot {0} breaks the rule \"no metallic thread\" of {1}: it has metallic thread."),
        (RecipientRules.SoftOnly, "soft-only", "Soft only", t => t.Softness == Softness.Scratchy,
            "Lot {0} breaks the rule \"soft only\" of {1}: it was judged scratchy."),
    ];

    /// <summary>Every rule with its flag, stable key and English name, in the order of the form.</summary>
    public static IReadOnlyList<(RecipientRules Rule, string Key, string Name)> Each { get; } = [.. Book.Select(b => (b.Rule, b.Key, b.Name))];

    /// <summary>Every rule that the lot breaks, as refusals whose keys are the rules' keys; empty when the lot may be used.</summary>
    public static IReadOnlyList<Refusal> Check(RecipientRules rules, LotTraits lot, string lotCode, string projectName) =>
        [.. Book.Where(b => rules.HasFlag(b.Rule) && b.Breaks(lot)).Select(b => Refusal.Conflict(b.Key, b.Sentence, lotCode, projectName))];
}
