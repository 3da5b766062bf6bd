using GuildStash.Domain.Colours;

namespace GuildStash.Web.Features.Sorting;

/// <summary>A colour to show for each family where a person chooses one. A judgement: a plain yarn colour that our own naming puts in that family.</summary>
public static class FamilySwatches
{
    private static readonly Dictionary<ColourFamily, string> Colours = new()
    {
        [ColourFamily.Pink] = "#e4a0ae",
        [ColourFamily.Red] = "#b5303c",
        [ColourFamily.Orange] = "#e0782f",
        [ColourFamily.Yellow] = "#e8c33c",
        [ColourFamily.Green] = "#4f8a4c",
        [ColourFamily.Teal] = "#14857f",
        [ColourFamily.Blue] = "#3a6ea8",
        [ColourFamily.Purple] = "#7c519c",
        [ColourFamily.Brown] = "#6e4930",
        [ColourFamily.Beige] = "#cdb592",
        [ColourFamily.White] = "#f6f4ee",
        [ColourFamily.Grey] = "#8a8d90",
        [ColourFamily.Black] = "#1d1e20",
    };

    /// <summary>"#rrggbb", or null for yarn of many colours, which has no one colour.</summary>
    public static string? Of(ColourFamily family) => Colours.GetValueOrDefault(family);
}
