using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Projects;

/// <summary>What whoever makes pieces for a recipient should know. Words only: the program checks no piece and claims no compliance.</summary>
public static class ProjectCautions
{
    /// <summary>Cautions for a project with these rules, most urgent first; empty for most projects.</summary>
    /// <remarks>
    /// Drawstrings: US 16 CFR 1120 with ASTM F1816 (sizes 2T to 12) and EN 14682:2014 (up to 7 years; hats and scarves are outside its
    /// scope). What hospitals usually ask for is policy, not law: US 16 CFR 1501.3(d) exempts clothing from the small-parts rule.
    /// Mothballs: US EPA on naphthalene in stored infants' clothing.
    /// </remarks>
    public static IReadOnlyList<Phrase> For(RecipientRules rules) => rules.HasFlag(RecipientRules.InfantOrHospital)
        ?
        [
            new("No drawstrings at hood or neck of children's clothes: US 16 CFR 1120 with ASTM F1816 names sizes 2T to 12, EN 14682:2014 children up to 7 years (hats and scarves are outside its scope)."),
            new("Hospitals usually ask for soft, machine-washable pieces without buttons, ribbons or pompoms, and for yarn without wool, mohair, eyelash or metallic thread."),
            new("The recipient's own list and local rules decide. Nothing here is checked on the finished piece, and no compliance is claimed."),
        ]
        : [];
}
