using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Kits;

/// <summary>Chances as people say them.</summary>
public static class ChanceWords
{
    /// <summary>What is rarer is not told more exactly, since the figures behind it are not: 1 in 200. Judgement.</summary>
    private const int Rare = 200;

    /// <summary>"about 1 in 8"; never told as none or as certain.</summary>
    /// <param name="chance">0 to 1.</param>
    public static string Chance(this IStringLocalizer<Texts> texts, PersonDisplay display, double chance) => chance switch
    {
        < 1.0 / Rare => texts["under 1 in {0}", display.Count(Rare)],
        <= 0.4 => texts["about 1 in {0}", display.Count((long)Math.Round(1 / chance))],
        < 0.55 => texts["about 1 in {0}", display.Count(2)],
        < 0.95 => texts["about {0} in {1}", display.Count((long)Math.Round(chance * 10)), display.Count(10)],
        _ => texts["almost certain"],
    };
}
