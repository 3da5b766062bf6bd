using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Care;

/// <summary>
/// What the washing symbol of a label allows. It is the harshest treatment allowed: anything gentler is allowed too (ISO 3758,
/// GINETEX).
/// </summary>
public sealed record WashLabel
{
    /// <summary>°C, the most that a hand in the tub allows (GINETEX).</summary>
    public const int HandMaxCelsius = 40;

    private static readonly int[] Tubs = [30, 40, 50, 60, 70, 95];

    private WashLabel(WashTreatment treatment, int? maxCelsius, MechanicalAction action) =>
        (Treatment, MaxCelsius, Action) = (treatment, maxCelsius, action);

    /// <summary>Nothing is known.</summary>
    public static WashLabel NotStated { get; } = new(WashTreatment.NotStated, null, MechanicalAction.Normal);

    /// <summary>The crossed-out tub.</summary>
    public static WashLabel DoNotWash { get; } = new(WashTreatment.DoNotWash, null, MechanicalAction.Normal);

    /// <summary>Machine washable in words, for instance "superwash": no temperature is stated.</summary>
    public static WashLabel MachineInWords { get; } = new(WashTreatment.Machine, null, MechanicalAction.Normal);

    /// <summary>The hand in the tub: at most 40 °C.</summary>
    public static WashLabel HandWash { get; } = new(WashTreatment.Hand, HandMaxCelsius, MechanicalAction.Normal);

    public WashTreatment Treatment { get; }

    /// <summary>Highest temperature of the water, °C; null when the label does not say, or must not be washed.</summary>
    public int? MaxCelsius { get; }

    /// <summary>Of the machine; <see cref="MechanicalAction.Normal"/> for every other treatment.</summary>
    public MechanicalAction Action { get; }

    /// <summary>Yes, no, or null when the label does not say.</summary>
    public bool? MachineWashable => Treatment == WashTreatment.NotStated ? null : Treatment == WashTreatment.Machine;

    /// <summary>The tub with a number, which is its highest °C: 30, 40, 50, 60, 70 or 95 (ISO 3758), and no hand in it.</summary>
    /// <param name="field">Input field that a refusal names.</param>
    public static Outcome<WashLabel> Tub(int celsius, MechanicalAction action = MechanicalAction.Normal, string field = "care") => Tubs.Contains(celsius)
        ? new WashLabel(WashTreatment.Machine, celsius, action)
        : Refusal.Invalid(field, "A tub with {0} °C: {1} are the temperatures of care labels. Copy the number in the tub.", celsius, string.Join(", ", Tubs));

    /// <summary>The tub with one to six dots, as in the USA: 30, 40, 50, 60, 70, 95 °C (ASTM D5489, from memory).</summary>
    /// <inheritdoc cref="Tub" path="/param"/>
    public static Outcome<WashLabel> Dots(int dots, MechanicalAction action = MechanicalAction.Normal, string field = "care") => dots >= 1 && dots <= Tubs.Length
        ? new WashLabel(WashTreatment.Machine, Tubs[dots - 1], action)
        : Refusal.Invalid(field, "A tub with {0} dots: 1 to {1} is allowed.", dots, Tubs.Length);

    /// <summary>Washed by hand in water of this temperature: 1 to 40 °C (GINETEX has the upper end; the lower one is that it be water).</summary>
    /// <inheritdoc cref="Tub" path="/param"/>
    public static Outcome<WashLabel> Hand(int celsius, string field = "care") => celsius is > 0 and <= HandMaxCelsius
        ? new WashLabel(WashTreatment.Hand, celsius, MechanicalAction.Normal)
        : Refusal.Invalid(field, "Hand wash at {0} °C: 1 to {1} °C is allowed by hand. Check the number in the tub.", celsius, HandMaxCelsius);

    /// <summary>
    /// What a piece of two yarns bears: the gentler of the treatments, the lower of the temperatures. Unless one of them must not
    /// be washed at all, nothing is known of the piece when nothing is known of one of them.
    /// </summary>
    public static WashLabel Together(WashLabel a, WashLabel b)
    {
        if (a.Treatment == WashTreatment.DoNotWash || b.Treatment == WashTreatment.DoNotWash)
        {
            return DoNotWash;
        }

        if (a.Treatment == WashTreatment.NotStated || b.Treatment == WashTreatment.NotStated)
        {
            return NotStated;
        }

        WashTreatment treatment = a.Treatment > b.Treatment ? a.Treatment : b.Treatment;
        // A label without a temperature promises none: the other's number would be a guess for it.
        int? celsius = a.MaxCelsius is { } one && b.MaxCelsius is { } other ? Math.Min(one, other) : null;
        MechanicalAction action = a.Action > b.Action ? a.Action : b.Action;
        return new WashLabel(treatment, celsius, treatment == WashTreatment.Machine ? action : MechanicalAction.Normal);
    }

    /// <summary>For instance "machine wash, at most 30 °C, mild".</summary>
    public Phrase Describe() => (Treatment, MaxCelsius, Action) switch
    {
        (WashTreatment.NotStated, _, _) => new Phrase("washing not stated"),
        (WashTreatment.DoNotWash, _, _) => new Phrase("do not wash"),
        (WashTreatment.Hand, null, _) => new Phrase("hand wash, temperature not stated"),
        (WashTreatment.Hand, { } celsius, _) => new Phrase("hand wash, at most {0} °C", celsius),
        (_, null, MechanicalAction.Normal) => new Phrase("machine wash, temperature not stated"),
        (_, null, MechanicalAction.Mild) => new Phrase("machine wash, mild, temperature not stated"),
        (_, null, _) => new Phrase("machine wash, very mild, temperature not stated"),
        (_, { } celsius, MechanicalAction.Normal) => new Phrase("machine wash, at most {0} °C", celsius),
        (_, { } celsius, MechanicalAction.Mild) => new Phrase("machine wash, at most {0} °C, mild", celsius),
        (_, { } celsius, _) => new Phrase("machine wash, at most {0} °C, very mild", celsius),
    };

    /// <summary>The same machine wash with the bars of its tub; every other treatment unchanged.</summary>
    public WashLabel With(MechanicalAction action) => Treatment == WashTreatment.Machine ? new WashLabel(Treatment, MaxCelsius, action) : this;
}
