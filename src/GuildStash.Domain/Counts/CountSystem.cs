namespace GuildStash.Domain.Counts;

/// <summary>
/// A way of stating how fine a yarn is. Hanks per pound, metres per gram and the three lengths per mass grow with fineness; tex,
/// dtex and denier (masses of a fixed length) grow with thickness.
/// </summary>
public enum CountSystem
{
    /// <summary>Ne: hanks of 840 yd in a pound.</summary>
    Cotton = 0,

    /// <summary>NeK: hanks of 560 yd in a pound.</summary>
    Worsted = 1,

    /// <summary>Linen lea: hanks of 300 yd in a pound.</summary>
    Lea = 2,

    /// <summary>Woollen run: hanks of 1600 yd in a pound.</summary>
    Run = 3,

    /// <summary>Woollen cut: hanks of 300 yd in a pound.</summary>
    Cut = 4,

    /// <summary>Nm: metres in a gram.</summary>
    Metric = 5,

    /// <summary>Grams of 1 km.</summary>
    Tex = 6,

    /// <summary>Grams of 10 km.</summary>
    Dtex = 7,

    /// <summary>Grams of 9 km.</summary>
    Denier = 8,

    MetresPer100Grams = 9,
    YardsPer100Grams = 10,
    YardsPerPound = 11,
}
