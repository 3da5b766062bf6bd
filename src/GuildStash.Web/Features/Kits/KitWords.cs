using GuildStash.Domain.Projects;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Kits;

/// <summary>What pages call kits, parts and steps.</summary>
internal static class KitWords
{
    /// <summary>A part's own name, or the localised word where nobody named one.</summary>
    public static string Part(string part, Func<string, string> localise) => part == MakeKit.OnlyPart ? localise(part) : part;

    public static string PartOf(this IStringLocalizer<Texts> texts, string part) => Part(part, key => texts[key]);

    public static string Step(this IStringLocalizer<Texts> texts, PieceStep step) => step switch
    {
        PieceStep.Started => texts["started"],
        PieceStep.Finished => texts["finished"],
        _ => texts["handed to the recipient"],
    };
}
