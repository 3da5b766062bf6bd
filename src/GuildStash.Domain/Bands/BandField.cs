using GuildStash.Domain.Care;
using GuildStash.Domain.Counts;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Bands;

/// <summary>A piece of the text as it was typed.</summary>
/// <param name="Start">Index of its first character.</param>
public sealed record BandPiece(int Start, string Text)
{
    /// <summary>Index behind its last character.</summary>
    public int End => Start + Text.Length;
}

/// <summary>Something that a band says.</summary>
/// <param name="Pieces">Where it stands, in the order of the text; at least one.</param>
public abstract record BandField(IReadOnlyList<BandPiece> Pieces);

/// <summary>So many metres to so many grams.</summary>
/// <param name="MassAssumed">The German "LL" with no mass anywhere: taken as metres per 50 g (from memory).</param>
public sealed record BandLengthField(IReadOnlyList<BandPiece> Pieces, Band Band, bool MassAssumed = false) : BandField(Pieces);

/// <summary>A length without a mass that belongs to it.</summary>
public sealed record LoneLengthField(IReadOnlyList<BandPiece> Pieces, Length Length) : BandField(Pieces);

/// <summary>A mass without a length that belongs to it, mostly the mass of the ball.</summary>
public sealed record LoneMassField(IReadOnlyList<BandPiece> Pieces, Mass Mass) : BandField(Pieces);

/// <summary>A spinner's count.</summary>
/// <param name="Count">Null while <paramref name="Question"/> is open.</param>
public sealed record CountField(IReadOnlyList<BandPiece> Pieces, YarnCount? Count, BandQuestion? Question = null) : BandField(Pieces);

/// <summary>A name or number for the thickness.</summary>
public sealed record ThicknessField(IReadOnlyList<BandPiece> Pieces, Thickness Thickness) : BandField(Pieces);

/// <summary>One fibre as the band names it.</summary>
/// <param name="Fibre">Null for a word that the fibre table does not know: it is kept as it stands, never guessed.</param>
/// <param name="Word">As typed.</param>
/// <param name="Percent">As typed; null when the band gives none.</param>
public sealed record BandFibre(Fibre? Fibre, string Word, decimal? Percent);

/// <summary>What the yarn is made of.</summary>
/// <param name="Content">The same for the fibre table; null when a fibre is unknown to it.</param>
public sealed record FibresField(IReadOnlyList<BandPiece> Pieces, IReadOnlyList<BandFibre> Fibres, FibreContent? Content) : BandField(Pieces);

/// <summary>Recommended needles or hook.</summary>
/// <param name="Millimetres">Diameter, 0.5 to 50 mm.</param>
/// <param name="IsHook">A crochet hook is named; otherwise needles.</param>
public sealed record NeedleField(IReadOnlyList<BandPiece> Pieces, BandRange Millimetres, bool IsHook) : BandField(Pieces);

/// <summary>The tension of a swatch.</summary>
/// <param name="StitchesPer10Cm">1 to 100.</param>
/// <param name="RowsPer10Cm">1 to 150; null when not stated.</param>
/// <param name="LengthAssumed">No length is stated: taken as 10 cm (common practice).</param>
public sealed record GaugeField(IReadOnlyList<BandPiece> Pieces, BandRange StitchesPer10Cm, BandRange? RowsPer10Cm, bool LengthAssumed) : BandField(Pieces);

/// <summary>How it may be washed: the gentlest of what the band says.</summary>
public sealed record CareField(IReadOnlyList<BandPiece> Pieces, WashLabel Label) : BandField(Pieces);

/// <summary>Number of the dye bath.</summary>
/// <param name="DyeLot">At most 20 characters, as typed.</param>
public sealed record DyeLotField(IReadOnlyList<BandPiece> Pieces, string DyeLot) : BandField(Pieces);

/// <summary>A number or a span of numbers as bands state them, "4" or "3–3.5"; low is never above high.</summary>
public sealed record BandRange(decimal Low, decimal High)
{
    internal static BandRange Of(decimal a, decimal b) => new(Math.Min(a, b), Math.Max(a, b));
}
