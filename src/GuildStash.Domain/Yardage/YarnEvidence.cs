using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Yardage;

/// <summary>What is known of a lot's thickness and length, as it was found. Kept with the lot, so that every figure can be recomputed.</summary>
public sealed record YarnEvidence
{
    /// <summary>The class a person named.</summary>
    public WeightClass? AssertedClass { get; init; }

    /// <summary>A wrap count; counts as evidence on smooth yarn only.</summary>
    public Wraps? Wraps { get; init; }

    /// <summary>Length and mass read from the ball band.</summary>
    public Band? Band { get; init; }

    /// <summary>A piece that was measured and weighed.</summary>
    public WeighedSample? Sample { get; init; }

    /// <summary>A count, folded already; only compared where the band states a length, since both are the maker's word.</summary>
    public CountReading? Count { get; init; }

    /// <summary>Stitches of stocking stitch over a width.</summary>
    public Gauge? Gauge { get; init; }

    /// <summary>Decides which of the room's own data apply.</summary>
    public FibreGroup FibreGroup { get; init; }

    /// <summary>Those of its balls that have their band on, which keep the band's length; null for none.</summary>
    public SealedPart? Sealed { get; init; }

    /// <summary>
    /// Its fibres: how dense they are counts beside wraps, gauge and class, see <see cref="FibreBulk"/>, and the moisture of the room is
    /// reckoned by them where a guild does so.
    /// </summary>
    public FibreContent Fibres { get; init; } = FibreContent.Unknown;

    public Texture Texture { get; init; }

    /// <summary>Division of the scale the lot was weighed on; null counts as exact. Enters with the lot's mass, in <see cref="YardageEstimate.LengthOf"/>.</summary>
    public Mass? ScaleDivision { get; init; }
}
