using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Intake;

/// <summary>Which bags the guild keeps apart before they may be used. Signs of pests or mould always count, whatever the policy.</summary>
public enum QuarantinePolicy
{
    OnSignsOnly = 0,
    AnimalAndUnknownFibre = 1,
    EveryBag = 2,
}

/// <summary>Why something is kept apart.</summary>
public enum QuarantineReason
{
    SignsOfInsects = 0,
    SignsOfMould = 1,
    Damp = 2,
    Policy = 3,
    AnimalOrUnknownFibre = 4,
    ReturnNotInspected = 5,
}

/// <summary>What conditions on a bag or on returned yarn mean for its way through the room.</summary>
/// <remarks>
/// Moth larvae live for weeks to years, so days alone never release a bag: release is a recorded inspection.
/// Damp yarn counts as a sign of mould (mould grows above about 65 % relative humidity; common practice).
/// </remarks>
public static class ConditionRules
{
    public const Conditions All = (Conditions)127;

    private static readonly (Conditions Condition, string Key, string Name)[] Names =
    [
        (Conditions.Smoke, "smoke", "Smoke"),
        (Conditions.PetHair, "petHair", "Pet hair"),
        (Conditions.Perfume, "perfume", "Perfume"),
        (Conditions.Mothball, "mothball", "Mothball smell"),
        (Conditions.Damp, "damp", "Damp"),
        (Conditions.Mould, "mould", "Mould"),
        (Conditions.Insects, "insects", "Insects or webbing"),
    ];

    /// <summary>The single conditions in the order of the form, with key and English name.</summary>
    public static IReadOnlyList<(Conditions Condition, string Key, string Name)> Each => Names;

    public static IReadOnlyList<string> Keys(Conditions conditions) =>
        [.. Names.Where(n => conditions.HasFlag(n.Condition)).Select(n => n.Key)];

    /// <summary>Reads condition keys; an unknown one is refused with the list of those that exist.</summary>
    public static Outcome<Conditions> FromKeys(IEnumerable<string?>? keys, string field = "conditions")
    {
        Conditions all = Conditions.None;
        foreach (string? key in keys ?? [])
        {
            int index = Array.FindIndex(Names, n => string.Equals(n.Key, key, StringComparison.OrdinalIgnoreCase));
            if (index < 0)
            {
                return Refusal.Invalid(field, "\"{0}\" is no condition. Known are: {1}.", Shorten(key), string.Join(", ", Names.Select(n => n.Key)));
            }

            all |= Names[index].Condition;
        }

        return all;
    }

    /// <summary>Mould or insects: the bag stays shut, is not sorted and leaves the room.</summary>
    public static bool StaysShut(Conditions conditions) => (conditions & (Conditions.Mould | Conditions.Insects)) != 0;

    /// <summary>Noted once, kept for good: mothballs are pesticides, and neither airing nor washing lifts the bar for infants and hospitals.</summary>
    public const Conditions ForGood = Conditions.Mothball;

    /// <summary>What yarn carries after a split, a merge or a return: all that was noted on any part.</summary>
    public static Conditions Together(params IEnumerable<Conditions> parts) => parts.Aggregate(Conditions.None, (all, part) => all | part);

    /// <summary>What is noted after something was found, and something else washed out or aired.</summary>
    public static Outcome<Conditions> Noted(Conditions before, Conditions found, Conditions gone)
    {
        if ((gone & ForGood & before) != 0)
        {
            return Refusal.Conflict("mothball-for-good", "A mothball smell stays noted for good, airing or not: this yarn never goes to infant or hospital projects.") with { Field = "conditions" };
        }

        return StaysShut(gone & before)
            ? Refusal.Conflict("stays-shut", "Mould and insects can't be washed off the record. Discard the yarn.") with { Field = "conditions" }
            : (before & ~gone) | found;
    }

    /// <summary>Why a bag goes to quarantine when it comes in, or null when it may be sorted into open bins.</summary>
    public static QuarantineReason? BagQuarantine(QuarantinePolicy policy, Conditions conditions)
    {
        if (conditions.HasFlag(Conditions.Insects))
        {
            return QuarantineReason.SignsOfInsects;
        }

        if (conditions.HasFlag(Conditions.Mould))
        {
            return QuarantineReason.SignsOfMould;
        }

        if (conditions.HasFlag(Conditions.Damp))
        {
            return QuarantineReason.Damp;
        }

        return policy == QuarantinePolicy.EveryBag ? QuarantineReason.Policy : null;
    }

    /// <summary>Why a lot goes to quarantine when it is sorted: its bag's reason, or its fibre under the guild's policy.</summary>
    public static QuarantineReason? LotQuarantine(QuarantinePolicy policy, QuarantineReason? bag, FibreContent fibres) =>
        bag ?? (policy == QuarantinePolicy.AnimalAndUnknownFibre && fibres.MayFeedPests ? QuarantineReason.AnimalOrUnknownFibre : null);

    /// <summary>Cautions for whoever handles the bag, most urgent first. Local rules and licensed professionals decide.</summary>
    public static IReadOnlyList<Phrase> Cautions(Conditions conditions)
    {
        List<Phrase> cautions = [];
        if (conditions.HasFlag(Conditions.Insects))
        {
            cautions.Add(new("Insects or webbing: seal the bag, mark it, take it out of the room and tell the coordinator today. An infested room is a case for licensed professionals."));
        }

        if (conditions.HasFlag(Conditions.Mould))
        {
            cautions.Add(new("Mould: keep the bag shut and do not sort it. Gloves, an N95 or FFP2 mask and goggles. Never mix bleach with ammonia or acid. Large areas are a case for a professional."));
        }

        if (conditions.HasFlag(Conditions.Mothball))
        {
            cautions.Add(new("Mothball smell: mothballs are pesticides. Air it apart, wear gloves, keep it from children. This yarn never goes to infant or hospital projects."));
        }

        if (conditions.HasFlag(Conditions.Damp))
        {
            cautions.Add(new("Damp: dry it apart and look for mould before it goes to a bin."));
        }

        if ((conditions & (Conditions.Smoke | Conditions.PetHair | Conditions.Perfume)) != 0)
        {
            cautions.Add(new("Smoke, pet hair or scent stay noted on every lot of this bag: many recipients ask for yarn without them."));
        }

        return cautions;
    }

    private static string Shorten(string? text) => text is null ? "" : text.Length <= 40 ? text : text[..40] + "…";
}
