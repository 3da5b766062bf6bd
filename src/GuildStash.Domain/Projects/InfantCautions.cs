using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>What to remember of a piece for an infant. None of it replaces the recipient's own list or the law of the place.</summary>
public static class InfantCautions
{
    /// <summary>In the order in which they are told; the last one always stands with the others.</summary>
    public static IReadOnlyList<Phrase> All { get; } =
    [
        new("No cords or drawstrings at hood, neck or waist: they strangle (US 16 CFR 1120; EN 14682)."),
        new("Nothing that comes off and can be swallowed: no buttons, beads, bells, pompoms or ribbons."),
        new("Soft, machine-washable yarn; many recipients take no wool, mohair, eyelash or metallic yarn (hospitals' policies, common practice)."),
        new("Never yarn that smelled of mothballs: infants were poisoned by clothing stored with naphthalene (US EPA)."),
        new("The recipient's list and local rules decide."),
    ];
}
