using System.Text.Json;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Planning;

/// <summary>Why a plan came to nothing, as it is kept: phrases with their arguments, so that each reader is told in their language and units.</summary>
internal static class PlanTrouble
{
    /// <summary>Characters that the column takes.</summary>
    private const int Longest = 2_000;

    /// <summary>As many sentences as fit; the first ones.</summary>
    public static string Write(IReadOnlyList<Phrase> sentences)
    {
        List<Phrase> kept = [];
        string json = "";
        foreach (Phrase sentence in sentences)
        {
            kept.Add(sentence);
            string longer = PlanJson.Write(kept);
            if (longer.Length > Longest)
            {
                break;
            }

            json = longer;
        }

        return json.Length == 0 && kept.Count > 0 ? PlanJson.Write<Phrase[]>([Shortened(kept[0])]) : json;
    }

    /// <summary>A plan that ended before phrases were kept has its English sentence, which stays as it is.</summary>
    public static IReadOnlyList<Phrase> Read(string trouble)
    {
        if (!trouble.StartsWith('['))
        {
            return trouble.Length == 0 ? [] : [new Phrase("{0}", trouble)];
        }

        try
        {
            return PlanJson.Read<List<Phrase>>(trouble);
        }
        catch (JsonException)
        {
            return [new Phrase("{0}", trouble)];
        }
    }

    /// <summary>One sentence with a very long name in it, in English.</summary>
    private static Phrase Shortened(Phrase sentence)
    {
        const int most = 300;
        string said = sentence.ToString();
        return new Phrase("{0}", said.Length <= most ? said : said[..most] + "…");
    }
}
