using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;
using Wish = GuildStash.Planning.Problem.ColourWish;

namespace GuildStash.Web.Features.Pieces;

/// <summary>What pages say of a piece.</summary>
public static class PieceWords
{
    public static string Craft(this IStringLocalizer texts, PieceCraft craft) => craft switch
    {
        PieceCraft.Knitted => texts["knitted"],
        PieceCraft.Crocheted => texts["crocheted"],
        _ => texts["knitted or crocheted"],
    };

    public static string FabricName(this IStringLocalizer texts, Fabric fabric) => fabric switch
    {
        Fabric.Garter => texts["garter stitch"],
        Fabric.Rib => texts["rib"],
        Fabric.Cable => texts["cables"],
        Fabric.SingleCrochet => texts["single crochet"],
        _ => texts["stocking stitch"],
    };

    /// <summary>A size table's kind of row.</summary>
    public static string SizeKind(this IStringLocalizer texts, string kind) => kind switch
    {
        PieceSizes.HeadKind => texts["head"],
        PieceSizes.EaseKind => texts["hat ease"],
        PieceSizes.YarnKind => texts["yarn"],
        _ => texts["blanket"],
    };

    public static string WishKind(this IStringLocalizer texts, ColourWishKind kind) => kind switch
    {
        ColourWishKind.OneLot => texts["all of one lot"],
        ColourWishKind.OneFamily => texts["one colour family, whichever"],
        ColourWishKind.Family => texts["a named family"],
        ColourWishKind.Palette => texts["several families"],
        ColourWishKind.Contrast => texts["stands out from another part"],
        ColourWishKind.Match => texts["matches another part"],
        _ => texts["any colours"],
    };

    public static string ColourWish(this IStringLocalizer texts, string wish)
    {
        Wish.TryParse(wish, out Wish read);
        return read switch
        {
            { Kind: ColourWishKind.Family, Family: { } family } => texts.Say(family.Name()),
            { Kind: ColourWishKind.Palette } => texts["{0} families", read.Count],
            { Kind: ColourWishKind.Contrast } => texts["stands out from {0}", read.OtherPart!],
            { Kind: ColourWishKind.Match } => texts["matches {0}", read.OtherPart!],
            _ => texts.WishKind(read.Kind),
        };
    }

    /// <summary>How thick the yarn must be: classes, a window of lengths, strands held together.</summary>
    public static string Yarn(this IStringLocalizer texts, BookPart part, PersonDisplay display)
    {
        List<string> words = [];
        if (part.WeightClasses.Count > 0)
        {
            words.Add(string.Join(", ", part.WeightClasses.InWords().Select(weight => texts.Say(weight.Name()))));
        }

        if (part.Window is { } window)
        {
            words.Add(texts["{0} to {1}", display.LengthFigure(window.Low), display.LengthPer100Grams(window.High)]);
        }

        if (part.Strands > 1)
        {
            words.Add(texts["{0} strands held together", part.Strands]);
        }

        return string.Join(" · ", words);
    }

    /// <summary>Joins and dye lots, then what fibre and care rules the part has beside the recipient's.</summary>
    public static IReadOnlyList<string> Limits(this IStringLocalizer<Texts> texts, BookPart part)
    {
        List<string> words = [part.MaxLots == 1 ? texts["one lot, no join"] : texts["up to {0} lots", part.MaxLots]];
        if (part.MaxLots > 1 && !part.DyeLotsMayMix)
        {
            words.Add(texts["dye lots must not mix"]);
        }

        words.AddRange(Projects.RuleWords.Of(texts, part.Rules));
        if (part.OnlyFibres.Count > 0)
        {
            words.Add(texts["only {0}", string.Join(", ", part.OnlyFibres.Select(code => FibreTable.TryFind(code, out Fibre? fibre) ? texts.Say(fibre.Name) : code))]);
        }

        return words;
    }

    /// <summary>A length rounded up in the person's unit, with the other one behind it: "250 yd (229 m)".</summary>
    public static string BothUnits(this IStringLocalizer texts, double metres, PersonDisplay display) =>
        texts["{0} ({1})", display.LengthAtMost(metres), NoBreak.Keep(display.Unit == LengthUnit.Yards
            ? texts["{0} m", Up(metres, display)]
            : texts["{0} yd", Up(metres / Length.MetresPerYard, display)])];

    /// <summary>A size of fabric in the person's unit: "18 × 9 in".</summary>
    public static string Size(this IStringLocalizer texts, double? widthCm, double? heightCm, PersonDisplay display) =>
        texts["{0} × {1} {2}", SizeFigure(widthCm ?? 0, display), SizeFigure(heightCm ?? 0, display), texts.SizeSign(display)];

    public static string SizeFigure(double centimetres, PersonDisplay display) =>
        (UnitBox.IsInches(display) ? centimetres / 2.54 : centimetres).ToString("#,0.#", display.Culture);

    /// <summary>The sign of the unit in which the person reads sizes of fabric.</summary>
    public static string SizeSign(this IStringLocalizer texts, PersonDisplay display) => UnitBox.IsInches(display) ? texts["in"] : texts["cm"];

    private static string Up(double value, PersonDisplay display) => Math.Ceiling(value - 1e-6).ToString("#,0", display.Culture);
}
