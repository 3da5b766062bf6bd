using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Bands;

/// <summary>What a name or number for the thickness of a yarn says.</summary>
/// <param name="Name">The name as the trade writes it, for instance "4 ply", "DK" or "aibuto 合太".</param>
/// <param name="Classes">
/// The classes it may mean, likeliest first; more than one where the name is used for both. Empty while <paramref name="Question"/>
/// is open, where the name gives metres per gram instead, and where it says nothing about thickness.
/// </param>
/// <param name="Remark">What to bear in mind; null when nothing.</param>
/// <param name="Question">What must be answered first; null when nothing.</param>
/// <param name="MinMetresPerGram">Japanese names only: about, null when there is no lower end.</param>
/// <param name="MaxMetresPerGram">Japanese names only: about.</param>
public sealed record Thickness(
    string Name,
    IReadOnlyList<WeightClass> Classes,
    Phrase? Remark = null,
    BandQuestion? Question = null,
    decimal? MinMetresPerGram = null,
    decimal? MaxMetresPerGram = null)
{
    public const int MaxPly = 24;

    private static readonly Phrase MakersDiffer = new("Makers use this name differently: metres and grams on the band go before it.");

    /// <summary>
    /// A ply number. UK and AU (common practice, about): 2 lace, 3 light fingering, 4 fingering, 5 sport, 8 DK, 10 worsted or aran,
    /// 12 bulky, 14 bulky or super bulky. A US "4-ply" is class 4; other US ply numbers count strands. 2, 3 and 4 are never guessed.
    /// </summary>
    /// <param name="ply">1 to 24.</param>
    /// <param name="country">Null asks where it matters.</param>
    public static Outcome<Thickness> FromPly(int ply, PlyCountry? country = null)
    {
        if (ply is < 1 or > MaxPly)
        {
            return Refusal.Invalid("ply", "{0} ply: 1 to {1} is allowed.", ply, MaxPly);
        }

        string name = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{ply} ply");
        if (country is null && ply is >= 2 and <= 4)
        {
            return new Thickness(name, [], Question: BandQuestion.PlyCountry);
        }

        if (country == PlyCountry.UnitedStates)
        {
            return ply == 4
                ? new Thickness(name, [WeightClass.Medium])
                : new Thickness(name, [], new Phrase("In the USA a ply number counts strands and says nothing about thickness."));
        }

        IReadOnlyList<WeightClass> classes = ply switch
        {
            2 => [WeightClass.Lace],
            3 or 4 => [WeightClass.Fingering],
            5 => [WeightClass.Sport],
            8 => [WeightClass.Dk],
            10 => [WeightClass.Medium],
            12 => [WeightClass.Bulky],
            14 => [WeightClass.Bulky, WeightClass.SuperBulky],
            _ => [],
        };
        return new Thickness(name, classes, classes.Count == 0 ? new Phrase("{0} ply is no usual name of a thickness.", ply) : null);
    }

    /// <summary>
    /// Number of the Standard Yarn Weight System (Craft Yarn Council). An older edition had no 7, so an old band's 6 may be today's 7.
    /// </summary>
    /// <param name="number">0 to 7.</param>
    public static Outcome<Thickness> FromStandardNumber(int number)
    {
        WeightClass[] classes = [.. Enum.GetValues<WeightClass>().Where(each => each.StandardNumber() == number && each is not (WeightClass.Worsted or WeightClass.Aran))];
        return classes.Length == 0
            ? Refusal.Invalid("standardNumber", "Yarn weight {0}: 0 to 7 is allowed. Copy the number in the skein on the band.", number)
            : new Thickness(
                string.Create(System.Globalization.CultureInfo.InvariantCulture, $"yarn weight {number}"),
                classes,
                number == 6 ? new Phrase("Older bands had no number 7: an old band's 6 may be today's 7, jumbo.") : null);
    }

    /// <summary>A trade name in English or a Japanese name in kanji or romanised, the whole text being the name.</summary>
    public static bool TryParse(string? name, out Thickness thickness) => ThicknessNames.TryParse(name, out thickness);

    internal static Thickness Japanese(string name, decimal? min, decimal max) => new(name, [], MakersDiffer, null, min, max);
}
