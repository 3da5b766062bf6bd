using GuildStash.Domain.WeightClasses;

namespace GuildStash.Domain.Bands;

/// <summary>Names of thicknesses: the trade's in English, and the Japanese ones.</summary>
internal static class ThicknessNames
{
    /// <summary>
    /// Trade types beside the classes of the Standard Yarn Weight System (Craft Yarn Council). "Thread", "craft", "rug" and "roving"
    /// stand there too, but on a band they mostly mean something else, so they are left unread.
    /// </summary>
    public static Vocabulary<Thickness> Trade { get; } = new(
        (new("lace", [WeightClass.Lace]), "lace|lace weight|laceweight"),
        (new("fingering", [WeightClass.Fingering]), "fingering|fingering weight|light fingering|sock|sock weight|sock yarn|super fine"),
        (new("baby", [WeightClass.Fingering, WeightClass.Sport]), "baby|baby weight"),
        (new("sport", [WeightClass.Sport]), "sport|sport weight"),
        (new("DK", [WeightClass.Dk]), "dk|dk weight|double knit|double knitting|double knitting weight|light worsted"),
        (new("worsted", [WeightClass.Worsted]), "worsted|worsted weight"),
        (new("aran", [WeightClass.Aran]), "aran|aran weight"),
        (new("afghan", [WeightClass.Medium]), "afghan"),
        (new("bulky", [WeightClass.Bulky]), "bulky|bulky weight|chunky|chunky weight"),
        (new("super bulky", [WeightClass.SuperBulky]), "super bulky|super chunky|superbulky|superchunky"),
        (new("jumbo", [WeightClass.Jumbo]), "jumbo"));

    /// <summary>The standard's own names, too common as words to be read without their number.</summary>
    public static Vocabulary<WeightClass> Standard { get; } = new(
        (WeightClass.Lace, "lace"),
        (WeightClass.Fingering, "super fine|superfine"),
        (WeightClass.Sport, "fine"),
        (WeightClass.Dk, "light"),
        (WeightClass.Medium, "medium"),
        (WeightClass.Bulky, "bulky"),
        (WeightClass.SuperBulky, "super bulky"),
        (WeightClass.Jumbo, "jumbo"));

    /// <summary>Metres per gram, about (common practice). Names vary by maker.</summary>
    public static Vocabulary<Thickness> Japanese { get; } = new(
        (Thickness.Japanese("cho-gokuboso 超極細", 10, 10), "cho gokuboso|chogokuboso|超極細"),
        (Thickness.Japanese("gokuboso 極細", 8, 8), "gokuboso|極細"),
        (Thickness.Japanese("aiboso 合細", 6, 6), "aiboso|合細"),
        (Thickness.Japanese("chuboso 中細", 4, 4), "chuboso|中細"),
        (Thickness.Japanese("aibuto 合太", 3, 3), "aibuto|合太"),
        (Thickness.Japanese("namibuto 並太", 2, 2.75m), "namibuto|並太"),
        (Thickness.Japanese("gokubuto 極太", 1, 2), "gokubuto|極太"),
        (Thickness.Japanese("cho-gokubuto 超極太", null, 1), "cho gokubuto|chogokubuto|超極太"));

    public static bool TryParse(string? name, out Thickness thickness)
    {
        thickness = null!;
        if (name is null or { Length: > BandText.MaxLength })
        {
            return false;
        }

        BandScan scan = new(name, BandTextOptions.Default);
        return (Trade.TryMatch(scan, 0, out thickness, out int next) || Japanese.TryMatch(scan, 0, out thickness, out next)) && next == scan.Tokens.Count;
    }
}
