using GuildStash.Domain.Fibres;

namespace GuildStash.Domain.Bands;

/// <summary>
/// Names of fibres as bands write them in English, German, French, Spanish and Japanese. The generic names are those of Regulation
/// (EU) 1007/2011 annex I and ISO 2076 as far as remembered (from memory); the compounds and the Japanese names are common
/// practice. 麻 may be linen or ramie, "bamboo" may be viscose: both stay unknown.
/// </summary>
internal static class FibreWords
{
    public static Vocabulary<Fibre> Names { get; } = new(
        (Of("WO"), "wool|wolle|schafwolle|laine|lana|lambswool|lamb's wool|lammwolle|laine d'agneau|merino|merinos|merino wool|merinowolle|laine merinos|lana merino|merino lana|ウール|羊毛|毛|メリノ|メリノウール|shetland wool|shetlandwolle|highland wool|peruvian highland wool"),
        (Of("WV"), "virgin wool|pure new wool|new wool|virgin merino wool|schurwolle|merino schurwolle|schurwolle merino|reine schurwolle|laine vierge|pure laine vierge|lana virgen|pura lana virgen|lana vergine|pura lana vergine|新毛"),
        (Of("WM"), "mohair|kid mohair|superkid mohair|kidmohair|モヘヤ|モヘア|キッドモヘヤ"),
        (Of("WP"), "alpaca|alpaka|baby alpaca|baby alpaka|alpaga|baby alpaga|alpakawolle|アルパカ|ベビーアルパカ"),
        (Of("WS"), "cashmere|kaschmir|cachemire|cachemira|cachemir|cashmir|カシミヤ|カシミア"),
        (Of("WA"), "angora|angora rabbit|angorawolle|アンゴラ"),
        (Of("SE"), "silk|seide|naturseide|soie|seda|mulberry silk|maulbeerseide|tussah silk|tussahseide|soie de murier|シルク|絹"),
        (Of("CO"), "cotton|baumwolle|coton|algodon|cotone|pima cotton|コットン|綿|木綿"),
        (Of("LI"), "linen|flax|leinen|flachs|lin|lino|リネン|亜麻"),
        (Of("HA"), "hemp|hanf|chanvre|canamo|ヘンプ"),
        (Of("CV"), "viscose|viskose|viscosa|rayon|bamboo viscose|viscose from bamboo|bambusviskose|レーヨン|ビスコース"),
        (Of("CMD"), "modal|モダール"),
        (Of("CLY"), "lyocell|リヨセル"),
        (Of("CA"), "acetate|azetat|acetat|acetato|アセテート"),
        (Of("PAN"), "acrylic|acryl|polyacryl|polyacrylic|acrylique|acrilico|polyacrylique|アクリル"),
        (Of("PA"), "nylon|polyamid|polyamide|poliamida|nilon|nailon|ナイロン"),
        (Of("PES"), "polyester|poliester|ポリエステル"),
        (Of("PP"), "polypropylene|polypropylen|polipropileno|ポリプロピレン"),
        (Of("EL"), "elastane|elastan|elasthan|elasthanne|elastano|spandex|ポリウレタン"),
        (Of("ME"), "metallic|metallic fibre|metallised fibre|metallisierte faser|metallfaser|metallfasern|metall|metal|metallique|fibre metallique|fibre metallisee|fibra metalica|fibra metalizada|metalica|metalico|lame|ラメ|金属繊維"));

    /// <summary>Words before a fibre that leave it what it is.</summary>
    public static Vocabulary<bool> Qualities { get; } = new(
        (true, "pure|pur|pura|puro|reine|reiner|reines|fine|fein|feine|superfine|soft|egyptian|peruvian|natural|baby|kid|superkid|super kid|long staple|純"));

    /// <summary>Words before or behind a fibre that leave it what it is.</summary>
    public static Vocabulary<bool> Finishes { get; } = new(
        (true, "extrafine|extra fine|extrafein|organic|bio|biologique|organico|kbt|kba|combed|gekammt|mercerised|mercerized|mercerisiert|mercerise|mercerizado|peigne|peinado|merzerisiert|gasiert|recycled|recycelt|recycelte|recycelter|recycle|untreated"));

    /// <summary>"毛糸" is yarn of whatever fibre.</summary>
    public static Vocabulary<bool> NoFibre { get; } = new((true, "毛糸|綿糸|絹糸"));

    private static Fibre Of(string code) => FibreTable.TryFind(code, out Fibre? fibre) ? fibre : throw new ArgumentException($"No fibre {code}.", nameof(code));
}
