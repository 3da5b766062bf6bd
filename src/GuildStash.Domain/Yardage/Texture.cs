namespace GuildStash.Domain.Yardage;

/// <summary>Surface of the yarn. Wraps say something about length on smooth yarn only.</summary>
public enum Texture
{
    Smooth = 0,
    Fuzzy = 1,
    Boucle = 2,
    ThickAndThin = 3,
    Ribbon = 4,
    Chenille = 5,
    Metallic = 6,
}
