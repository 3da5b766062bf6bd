using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Yardage;

/// <summary>Keys and names of the textures.</summary>
public static class TextureTerms
{
    private static readonly Terms<Texture> Words = new(
        (Texture.Smooth, "smooth", "Smooth"),
        (Texture.Fuzzy, "fuzzy", "Fuzzy"),
        (Texture.Boucle, "boucle", "Bouclé"),
        (Texture.ThickAndThin, "thickAndThin", "Thick and thin"),
        (Texture.Ribbon, "ribbon", "Ribbon"),
        (Texture.Chenille, "chenille", "Chenille"),
        (Texture.Metallic, "metallic", "Metallic"));

    public static IReadOnlyCollection<string> Keys => Words.Keys;

    public static string Key(this Texture texture) => Words.Key(texture);

    public static Phrase Name(this Texture texture) => Words.Name(texture);

    public static bool TryParse(string? key, out Texture texture) => Words.TryParse(key, out texture);
}
