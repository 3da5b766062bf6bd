using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Fibres;

/// <summary>
/// Regain of yarn as it lies in the guild's room, in % of its dry mass, for each group of fibres. It comes from weighing a ball in the
/// room and again after a day at the agreed climate, or dried in an oven made for it; no figure is guessed from the air's humidity.
/// </summary>
public sealed record RoomRegains
{
    /// <summary>Most that is taken for a room, in %: wool in saturated air holds about a third of its dry mass (from memory).</summary>
    public const int Most = 40;

    private RoomRegains(double? animal, double? plant, double? synthetic) => (Animal, Plant, Synthetic) = (animal, plant, synthetic);

    /// <summary>Masses count as weighed.</summary>
    public static RoomRegains None { get; } = new(null, null, null);

    /// <summary>Wool, hair and silk; null where none is known.</summary>
    public double? Animal { get; }

    /// <summary>Plant and regenerated fibres.</summary>
    public double? Plant { get; }

    public double? Synthetic { get; }

    /// <returns>The regains, or a refusal with field "animal", "plant" or "synthetic".</returns>
    public static Outcome<RoomRegains> Create(double? animal, double? plant, double? synthetic)
    {
        Refusal[] wrong =
        [
            .. new[] { (animal, "animal"), (plant, "plant"), (synthetic, "synthetic") }
                .Where(each => each.Item1 is { } regain && !(regain is >= 0 and <= Most))
                .Select(each => Refusal.Invalid(each.Item2, "A regain of {0} % in the room: 0 to {1} % is allowed.", each.Item1!.Value, Most)),
        ];
        return wrong.Length > 0
            ? Outcome<RoomRegains>.Refused(wrong)
            : new RoomRegains(animal, plant, synthetic);
    }

    /// <summary>The correction for a yarn; null where a fibre, its share or its group's regain is not known.</summary>
    public MoistureCorrection? For(FibreContent content)
    {
        Span<(double, double)> parts = stackalloc (double, double)[content.Fibres.Count];
        for (int i = 0; i < parts.Length; i++)
        {
            double? share = (double?)content.Shares[i].Percent ?? (parts.Length == 1 ? 100 : null);
            if (share is not { } percent || Of(FibreGroups.Of(content.Fibres[i].Kind)) is not { } regain)
            {
                return null;
            }

            parts[i] = (percent, regain);
        }

        return content.IsUnknown || MoistureCorrection.Create(content, Moisture.RegainOfBlend(parts)) is not { IsOk: true } correction ? null : correction.Value;
    }

    private double? Of(FibreGroup group) => group switch
    {
        FibreGroup.Animal => Animal,
        FibreGroup.Plant => Plant,
        FibreGroup.Synthetic => Synthetic,
        _ => null,
    };
}
