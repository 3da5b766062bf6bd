using System.Collections.Concurrent;
using System.Text;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>English words for enum values: the name cut at its capitals, except where the trade writes it otherwise.</summary>
public static class EnumWords
{
    private static readonly Dictionary<Enum, string> s_exceptions = new()
    {
        [WeightClass.Dk] = "DK",
        [WeightClass.Medium] = "worsted or aran",
        [Texture.Boucle] = "bouclé",
        [Texture.ThickAndThin] = "thick-and-thin",
    };

    private static readonly ConcurrentDictionary<Enum, string> s_words = new(s_exceptions);

    public static string English(Enum value) => s_words.GetOrAdd(value, Cut);

    private static string Cut(Enum value)
    {
        string name = value.ToString();
        StringBuilder words = new(name.Length + 4);
        for (int at = 0; at < name.Length; at++)
        {
            if (at > 0 && char.IsUpper(name[at]))
            {
                words.Append(' ');
            }

            words.Append(char.ToLowerInvariant(name[at]));
        }

        return words.ToString();
    }
}
