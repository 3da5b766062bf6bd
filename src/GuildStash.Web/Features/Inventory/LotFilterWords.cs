using GuildStash.Domain.Codes;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Inventory;

/// <summary>What a filter of the address says to people.</summary>
internal static class LotFilterWords
{
    /// <summary>Whether a person typed it, so that nobody translates it.</summary>
    public static bool IsTyped(string name) => name is "q" or "dyeLot" or "bin";

    public static string Of(IStringLocalizer texts, PersonDisplay display, string name, string value) => name switch
    {
        "metres" when new LotFilterAddress { Metres = value }.MinMetres is { } metres => texts["at least {0}", display.Length(metres)],
        "class" => WeightClassTerms.TryParse(value, out WeightClass weight) ? texts.Say(weight.Name()) : NotKnown(texts, value, texts["weight class not known"]),
        "colour" => ColourFamilyTerms.TryParse(value, out ColourFamily colour) ? texts.Say(colour.Name()) : NotKnown(texts, value, texts["colour not noted"]),
        "fibre" => FibreTable.TryFind(value, out Fibre? fibre) ? texts.Say(fibre.Name) : NotKnown(texts, value, texts["fibre not known"]),
        "washable" => value.Equals("yes", StringComparison.OrdinalIgnoreCase) ? texts["machine washable"] : texts["not known to be machine washable"],
        "status" => Status(texts, value),
        "age" => texts["sorted {0}", Age(texts, value)],
        "dyeLot" => texts["dye lot {0}", value],
        "project" => texts["what the project may take"],
        "bin" => texts["bin {0}", BinCode.TryParse(value, out BinCode bin) ? bin.Display : value],
        _ => texts["“{0}”", value],
    };

    /// <summary>All filters of an address in one line, as a name to begin with.</summary>
    public static string All(IStringLocalizer texts, PersonDisplay display, LotFilterAddress address) =>
        string.Join(", ", address.Parts.Select(part => Of(texts, display, part.Name, part.Value)));

    public static string Age(IStringLocalizer texts, string key) => LotFilterAddress.ReadAge(key) switch
    {
        { AtMost: true, Days: var days } => texts["in the last {0} days", days],
        { Days: < 365 and var days } => texts["more than {0} days ago", days],
        { Days: 365 } => texts["more than a year ago"],
        { Days: var days } => texts["more than {0} years ago", days / 365],
        null => key,
    };

    /// <summary>What the address asks for in vain is quoted, so that it can be taken away.</summary>
    private static string NotKnown(IStringLocalizer texts, string value, string words) =>
        value.Equals(LotFilterAddress.Unknown, StringComparison.OrdinalIgnoreCase) ? words : texts["“{0}”", value.Length > 40 ? value[..40] + "…" : value];

    private static string Status(IStringLocalizer texts, string value) =>
        string.Equals(value, LotFilterAddress.OnShelves, StringComparison.OrdinalIgnoreCase) ? texts["on the shelves"]
        : Enum.TryParse(value, ignoreCase: true, out LotStatus status) ? texts.Of(status)
        : value;
}
