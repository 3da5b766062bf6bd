namespace GuildStash.Domain.Projects;

/// <summary>How the fabric is made.</summary>
public enum Craft
{
    Knitting = 0,
    Crochet = 1,
}

/// <summary>A kind of fabric.</summary>
public enum Fabric
{
    StockingStitch = 0,
    Garter = 1,
    Rib = 2,
    Cable = 3,
    SingleCrochet = 4,
}

/// <summary>How much more yarn a fabric takes than stocking stitch of the same area and stitches to the width.</summary>
/// <param name="Low">Least that guides give.</param>
/// <param name="Likely">Their middle.</param>
/// <param name="High">Most that guides give.</param>
public readonly record struct FabricFactor(double Low, double Likely, double High);

/// <summary>Facts of each fabric.</summary>
public static class Fabrics
{
    /// <summary>Times stocking stitch; all from memory, the middles computed.</summary>
    public static FabricFactor Factor(this Fabric fabric) => fabric switch
    {
        Fabric.StockingStitch => new(1, 1, 1),
        Fabric.Garter => new(1.15, 1.2, 1.25),
        Fabric.Rib => new(1.2, 1.25, 1.3),
        Fabric.Cable => new(1.3, 1.3, 1.3),
        Fabric.SingleCrochet => new(1.3, 1.4, 1.5),
        _ => throw new ArgumentOutOfRangeException(nameof(fabric), fabric, "Not a fabric."),
    };

    /// <summary>Knitting and crochet are kept apart: a gauge of one says nothing of the other.</summary>
    public static Craft Craft(this Fabric fabric) => fabric == Fabric.SingleCrochet ? Projects.Craft.Crochet : Projects.Craft.Knitting;
}
