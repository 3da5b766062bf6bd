namespace GuildStash.Domain.WeightClasses;

/// <summary>
/// Thickness of a yarn by its trade name, thinnest first. <see cref="Medium"/> is class 4 of the Standard Yarn Weight System
/// (Craft Yarn Council) where it is not known whether the yarn is worsted or aran.
/// </summary>
public enum WeightClass
{
    Lace = 0,
    Fingering = 1,
    Sport = 2,
    Dk = 3,
    Worsted = 4,
    Aran = 5,
    Medium = 6,
    Bulky = 7,
    SuperBulky = 8,
    Jumbo = 9,
}
