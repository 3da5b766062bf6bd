using GuildStash.Domain.Projects;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Pieces;

/// <summary>How a length was reckoned, in a sentence.</summary>
public static class ReckonWords
{
    public static string HowReckoned(this IStringLocalizer texts, Reckoning? reckoning, PersonDisplay display) => reckoning switch
    {
        null => texts["The maker's own figure."],
        { Way: ReckoningWay.Swatch, SwatchMetres: { } metres } => texts["By a swatch of {0} that took {1}, for {2}.", texts.Size(reckoning.SwatchWidthCm, reckoning.SwatchHeightCm, display), display.Length(metres), Part(texts, reckoning, display)],
        { Way: ReckoningWay.Swatch } => texts["By a swatch of {0} that took {1} g of yarn with {2}, for {3}.", texts.Size(reckoning.SwatchWidthCm, reckoning.SwatchHeightCm, display),
            reckoning.SwatchGrams ?? 0, display.LengthPer100Grams(reckoning.SwatchMetresPer100G ?? 0), Part(texts, reckoning, display)],
        { Way: ReckoningWay.Gauge } => texts["By {0} stitches over {1} {2} in {3}, for {4}.", reckoning.Stitches ?? 0, PieceWords.SizeFigure((double)(reckoning.OverCm ?? 10), display), texts.SizeSign(display),
            texts.FabricName(reckoning.Fabric ?? Fabric.StockingStitch), Part(texts, reckoning, display)],
        { Row: { } row } => Table(texts, reckoning, row),
        _ => "",
    };

    private static string Part(IStringLocalizer texts, Reckoning reckoning, PersonDisplay display) => texts.Size(reckoning.WidthCm, reckoning.HeightCm, display);

    private static string Table(IStringLocalizer texts, Reckoning reckoning, PieceSize row)
    {
        string asItStands = texts["By the size table: {0}, {1} to {2} {3} ({4}).", row.Name, row.Low, row.High, texts[row.Unit].Value, row.Source];
        return Reckoner.Scale(reckoning) is { IsOk: true, Value: var scale } && reckoning.SideCm is not null
            ? texts["{0} Scaled by {1:0.00}, the square of the sizes' ratio: rough.", asItStands, scale]
            : asItStands;
    }
}
