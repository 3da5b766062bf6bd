using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Inventory;

/// <summary>One bar and slice of a chart.</summary>
/// <param name="Name">Localised, unless people gave it.</param>
/// <param name="Href">Its lots.</param>
/// <param name="Value">How large it is drawn: mean metres, milligrams or lots.</param>
/// <param name="Figure">What people read beside it.</param>
/// <param name="Tenths">Share in tenths of a percent.</param>
/// <param name="Paint">CSS paint of its slice; empty where bars alone are drawn and none has a sample beside its name.</param>
/// <param name="Pieces">What its bar is made of, in order; their values add up to the whole.</param>
/// <param name="Wraps">For a weight class: wraps per inch of the strand beside its name.</param>
public sealed record ChartPart(string Name, string Href, double Value, string Figure, int Tenths, string Paint, IReadOnlyList<ChartPiece> Pieces, double? Wraps = null)
{
    /// <summary>People gave the name, so it is never translated.</summary>
    public bool IsGivenName { get; init; }
}

/// <summary>A piece of a bar.</summary>
public sealed record ChartPiece(double Value, string Paint);

/// <summary>What bars and slices are filled with. Each has an outline, so that white stays visible on the light ground and black on the dark one.</summary>
public static class ChartPaint
{
    /// <summary>Ids of the patterns that the page of the charts defines once.</summary>
    public const string ManyPattern = "paint-many";

    public const string UnknownPattern = "paint-unknown";

    private const int Faintest = 14;
    private const int Strongest = 86;

    /// <summary>Family's own colour; stripes for yarn of many colours, a hatch where nobody noted one.</summary>
    public static string Of(ColourFamily? colour) => colour switch
    {
        null => $"url(#{UnknownPattern})",
        ColourFamily.Multicolour => $"url(#{ManyPattern})",
        { } known => FamilySwatches.Of(known)!,
    };

    /// <summary>Ink, the stronger the thicker the yarn: classes have an order and no colour of their own.</summary>
    public static string Of(WeightClass? weight)
    {
        if (weight is not { } known)
        {
            return $"url(#{UnknownPattern})";
        }

        WeightClass[] all = Enum.GetValues<WeightClass>();
        int ink = Faintest + ((Strongest - Faintest) * Array.IndexOf(all, known) / (all.Length - 1));
        return $"color-mix(in oklab, var(--ink) {ink}%, var(--card))";
    }
}
