using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Printing;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure;

namespace GuildStash.Web.Features.Printing;

/// <summary>What papers say of a lot, alike on all of them.</summary>
internal static class LotOnPaper
{
    public static PrintedColour Colour(LotView lot, PrintTexts texts) => new(ColourName(lot, texts), lot.ColourHex);

    public static PrintedWeightClass? WeightClass(LotView lot, PrintTexts texts) =>
        lot.WeightClass is { } known ? new PrintedWeightClass(texts.Say(known.Name()), known.TypicalWraps()) : null;

    public static PrintedLength? Length(LotView lot) =>
        lot is { MetresLow: { } low, MetresLikely: { } likely, MetresHigh: { } high } ? new PrintedLength(low, likely, high) : null;

    public static string Fibres(LotView lot, PrintTexts texts)
    {
        Outcome<FibreContent> fibres = FibreContent.Create(lot.Fibres.Select(f => new FibreShare(f.Code ?? "", f.Percent)));
        return texts.Say((fibres.IsOk ? fibres.Value : FibreContent.Unknown).Describe(lot.FibreBasis));
    }

    /// <summary>"3 balls", "2 cones"; null for a lot of one.</summary>
    public static string? Pieces(LotView lot, PrintTexts texts) => lot.Count <= 1 ? null : texts.Say(new Phrase(
        lot.PutUp switch
        {
            PutUp.Skein => "{0} skeins",
            PutUp.Hank => "{0} hanks",
            PutUp.Cake => "{0} cakes",
            PutUp.Cone => "{0} cones",
            PutUp.Tangle => "{0} tangles",
            _ => "{0} balls",
        },
        lot.Count.ToString("N0", texts.Culture)));

    /// <summary>Where the code of a lot leads.</summary>
    public static Outcome<string> Link(PublicAddress address, string lotCode) => QrAddress.For(address, "/l/" + lotCode);

    /// <summary>A name that a person chose stands above the one computed from the swatch.</summary>
    private static string ColourName(LotView lot, PrintTexts texts) => lot switch
    {
        { Multicolour: true } => texts.Say(ColourFamily.Multicolour.Name()),
        { ColourName.Length: > 0 } => texts.Localise(lot.ColourName, []),
        { ColourFamily: { } family } => texts.Say(family.Name()),
        _ => texts.Localise("colour not noted", []),
    };
}

/// <summary>Addresses in QR codes.</summary>
internal static class QrAddress
{
    /// <summary>The address, unless it is too long for a code that a phone can read off the smallest label.</summary>
    public static Outcome<string> For(PublicAddress address, string path)
    {
        string link = address.ForQr(path);
        return link.Length <= QrLink.MaxLength
            ? link
            : Refusal.Conflict("address-too-long", "The address {0} has {1} characters; a QR code takes {2}. Set a shorter public address.", link, link.Length, QrLink.MaxLength);
    }
}
