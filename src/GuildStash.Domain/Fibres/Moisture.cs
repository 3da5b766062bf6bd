using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Fibres;

/// <summary>
/// Water in yarn. Regain r is the water in % of the dry mass, content c in % of the mass as weighed: c = 100r/(100 + r). The
/// commercial mass is the dry mass with the agreed regain R: dry · (1 + R/100).
/// </summary>
public static class Moisture
{
    private const double MostRegain = 100;

    // Agreed allowances, % of dry mass: Regulation (EU) 1007/2011, annex IX (wool, polyamide and cotton seen in excerpts; the rest by
    // the French decree of 24 June 1998). Wool whose combing is not known counts as carded; hair alike. Polyamide as staple (judgement:
    // knitting yarn is spun). Metallic yarn has no figure here, so that a blend with it has none either.
    private static readonly Dictionary<string, double> Agreed = new(StringComparer.OrdinalIgnoreCase)
    {
        ["WO"] = 17,
        ["WV"] = 17,
        ["WM"] = 17,
        ["WP"] = 17,
        ["WS"] = 17,
        ["WA"] = 17,
        ["SE"] = 11,
        ["CO"] = 8.5,
        ["LI"] = 12,
        ["HA"] = 12,
        ["CV"] = 13,
        ["CMD"] = 13,
        ["CLY"] = 13,
        ["CA"] = 9,
        ["PAN"] = 2,
        ["PA"] = 6.25,
        ["PES"] = 1.5,
        ["PP"] = 2,
        ["EL"] = 1.5,
    };

    /// <summary>Agreed regain of combed wool and hair (Regulation (EU) 1007/2011, annex IX), where the combing is known.</summary>
    public const double CombedWoolRegain = 18.25;

    /// <summary>Agreed regain of polyamide as filament (the same source), where the band says so: knitting yarn is spun of staple otherwise.</summary>
    public const double FilamentPolyamideRegain = 5.75;

    /// <summary>Agreed regain of one fibre in % of its dry mass; null where none is known.</summary>
    public static double? AgreedRegain(Fibre fibre) => Agreed.TryGetValue(fibre.Code, out double regain) ? regain : null;

    /// <summary>Agreed regain of a blend: that of its fibres, weighted by their shares of the dry mass; null where a share or a fibre's regain is not known.</summary>
    public static double? AgreedRegain(FibreContent content)
    {
        Span<(double, double)> parts = stackalloc (double, double)[content.Fibres.Count];
        for (int i = 0; i < parts.Length; i++)
        {
            double? share = (double?)content.Shares[i].Percent ?? (parts.Length == 1 ? 100 : null);
            if (share is not { } percent || AgreedRegain(content.Fibres[i]) is not { } regain)
            {
                return null;
            }

            parts[i] = (percent, regain);
        }

        return content.IsUnknown ? null : RegainOfBlend(parts);
    }

    /// <summary>Regain in % of a blend's dry mass, from its parts' shares of the dry mass in % and their regains in %.</summary>
    public static double RegainOfBlend(ReadOnlySpan<(double Percent, double Regain)> parts)
    {
        double sum = 0;
        foreach ((double percent, double regain) in parts)
        {
            sum += percent * regain / 100;
        }

        return sum;
    }

    /// <summary>Content in % of the mass as weighed, from regain in % of the dry mass.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not 0 to 100.</exception>
    public static double Content(double regain) => 100 * Guard.InRange(regain, 0, MostRegain, nameof(regain)) / (100 + regain);

    /// <summary>Regain in % of the dry mass, from content in % of the mass as weighed.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not 0 to 50.</exception>
    public static double Regain(double content) => 100 * Guard.InRange(content, 0, 50, nameof(content)) / (100 - content);

    /// <summary>Dry mass, in the unit of <paramref name="mass"/>, of what has this moisture content in %.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The content is not 0 to 50.</exception>
    public static double DryMass(double mass, double content) => mass * (1 - (Guard.InRange(content, 0, 50, nameof(content)) / 100));

    /// <summary>Commercial mass, in the unit of <paramref name="dry"/>, with the agreed regain in %.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not 0 to 100.</exception>
    public static double CommercialMass(double dry, double regain) => dry * (1 + (Guard.InRange(regain, 0, MostRegain, nameof(regain)) / 100));
}

/// <summary>
/// Turns a mass weighed in a damp or dry room into the commercial mass that a band's grams mean: weighed · (100 + R)/(100 + r). An
/// option that a guild must choose; without it masses count as weighed. A sealed ball needs none: it keeps its band's length.
/// </summary>
public sealed record MoistureCorrection
{
    private const int MostRoomRegain = 40;

    private MoistureCorrection(double roomRegain, double agreedRegain) => (RoomRegain, AgreedRegain) = (roomRegain, agreedRegain);

    /// <summary>Regain of the yarn as it is weighed, 0 to 40 %.</summary>
    public double RoomRegain { get; }

    /// <summary>Agreed regain of its fibres, in %.</summary>
    public double AgreedRegain { get; }

    /// <summary>Commercial mass over mass as weighed.</summary>
    public double Factor => (100 + AgreedRegain) / (100 + RoomRegain);

    /// <returns>The correction, or a refusal with field "roomRegain" or "fibres".</returns>
    public static Outcome<MoistureCorrection> Create(FibreContent content, double roomRegain)
    {
        if (!(roomRegain >= 0 && roomRegain <= MostRoomRegain))
        {
            return Refusal.Invalid("roomRegain", "A regain of {0} % in the room: 0 to {1} % is allowed.", roomRegain, MostRoomRegain);
        }

        return Moisture.AgreedRegain(content) is { } agreed
            ? new MoistureCorrection(roomRegain, agreed)
            : Refusal.Invalid("fibres", "Moisture can only be reckoned with when all fibres and their percentages are known. Leave the correction out for this lot.");
    }

    /// <summary>The commercial mass, rounded to the milligram.</summary>
    public Mass Of(Mass weighed) => Mass.FromMilligrams((long)Math.Round(weighed.Milligrams * Factor, MidpointRounding.ToEven));
}
