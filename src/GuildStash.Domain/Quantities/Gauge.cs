using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quantities;

/// <summary>Stitches of stocking stitch over a width, as a band states them or a swatch shows them.</summary>
public sealed record Gauge
{
    public const int MinPer10Cm = 2;
    public const int MaxPer10Cm = 60;
    public const int MinCm = 1;
    public const int MaxCm = 100;

    private Gauge(decimal stitches, decimal centimetres) => (Stitches, Centimetres) = (stitches, centimetres);

    public decimal Stitches { get; }

    /// <summary>Width counted over, 1 to 100 cm; bands say 10.</summary>
    public decimal Centimetres { get; }

    /// <summary>2 to 60.</summary>
    public double StitchesPer10Cm => (double)(Stitches * 10 / Centimetres);

    /// <returns>The gauge, or a refusal with field "gauge.perCm" or "gauge.stitches".</returns>
    public static Outcome<Gauge> Create(decimal stitches, decimal centimetres = 10)
    {
        if (centimetres is < MinCm or > MaxCm)
        {
            return Refusal.Invalid("gauge.perCm", "A gauge over {0} cm: {1} to {2} cm is allowed, 10 is usual.", centimetres, MinCm, MaxCm);
        }

        decimal per10 = stitches is > 0 and < 100_000 ? stitches * 10 / centimetres : 0;
        return per10 is >= MinPer10Cm and <= MaxPer10Cm
            ? new Gauge(stitches, centimetres)
            : Refusal.Invalid("gauge.stitches", "{0} stitches over {1} cm: {2} to {3} stitches to 10 cm is allowed.", stitches, centimetres, MinPer10Cm, MaxPer10Cm);
    }
}
