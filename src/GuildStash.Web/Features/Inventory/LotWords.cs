using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Web.Components.Shared;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Inventory;

/// <summary>What pages say of a lot.</summary>
public static class LotWords
{
    private const int MostPieces = 3;

    /// <summary>Where the lot stands, in one or two words.</summary>
    public static string Of(this IStringLocalizer texts, LotStatus status) => status switch
    {
        LotStatus.Available => texts["free"],
        LotStatus.Reserved => texts["all reserved"],
        LotStatus.Quarantined => texts["in quarantine"],
        LotStatus.Unweighed => texts["not weighed"],
        _ => texts["closed"],
    };

    public static StatusTone Tone(this LotStatus status) => status switch
    {
        LotStatus.Available => StatusTone.Good,
        LotStatus.Quarantined => StatusTone.Caution,
        LotStatus.Closed => StatusTone.Soft,
        _ => StatusTone.Plain,
    };

    /// <summary>Fibres as they may be said: "believed to be" unless somebody saw the band.</summary>
    public static Phrase FibrePhrase(this LotView lot)
    {
        Outcome<FibreContent> content = FibreContent.Create(lot.Fibres.Select(f => new FibreShare(f.Code ?? "", f.Percent)));
        return (content.IsOk ? content.Value : FibreContent.Unknown).Describe(lot.FibreBasis);
    }

    /// <summary>The colour's name, else its family, else that nobody noted one.</summary>
    public static string ColourOf(this IStringLocalizer texts, LotView lot) => lot switch
    {
        { ColourName.Length: > 0, Multicolour: true } => texts["{0} and more", texts[lot.ColourName].Value],
        { ColourName.Length: > 0 } => texts[lot.ColourName],
        { ColourFamily: { } family } => texts.Word(family),
        _ => texts["colour not noted"],
    };

    /// <summary>Pieces with the parts that a lot suits: the first three, and how many more there are.</summary>
    public static string SuitsOf(this IStringLocalizer texts, IReadOnlyList<SuitedPiece> pieces)
    {
        string told = string.Join("; ", pieces.Take(MostPieces).Select(piece => texts.SuitOf(piece)));
        return pieces.Count > MostPieces ? texts["{0}; and {1} more", told, pieces.Count - MostPieces] : told;
    }

    /// <summary>A piece of one part is told by its name alone.</summary>
    private static string SuitOf(this IStringLocalizer texts, SuitedPiece piece) => piece is { OfParts: 1, Parts: [{ Strands: 1 }] }
        ? piece.Piece
        : texts["{0}: {1}", piece.Piece, string.Join(", ", piece.Parts.Select(part => part.Strands == 1 ? part.Name : texts["{0} ({1} strands together)", part.Name, part.Strands].Value))];

    /// <summary>Yes, no, or that nobody knows.</summary>
    public static string Answer(this IStringLocalizer texts, Tristate answer) => answer switch
    {
        Tristate.Yes => texts["yes"],
        Tristate.No => texts["no"],
        _ => texts["not known"],
    };

    /// <summary>Washable in the words of a list.</summary>
    public static string WashableOf(this IStringLocalizer texts, Tristate washable) => washable switch
    {
        Tristate.Yes => texts["washable"],
        Tristate.No => texts["not washable"],
        _ => texts["not known"],
    };

    /// <summary>Conditions in words, separated by commas; empty where none was noted.</summary>
    public static string ConditionsOf(this IStringLocalizer texts, Conditions conditions) =>
        string.Join(", ", ConditionRules.Each.Where(each => conditions.HasFlag(each.Condition)).Select(each => texts[each.Name].Value));
}
