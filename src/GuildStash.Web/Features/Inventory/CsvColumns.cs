using System.Globalization;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// Columns of a CSV file. Words are the reader's, units stand in the heads, numbers are invariant. Lengths are in the reader's
/// unit, to a tenth and never on the unsafe side; what nobody knows is empty.
/// </summary>
internal sealed class CsvColumns<T>(params (string Head, Func<T, string> Cell)[] columns)
{
    public IReadOnlyList<string> Heads => [.. columns.Select(column => column.Head)];

    public IReadOnlyList<string> Cells(T row) => [.. columns.Select(column => column.Cell(row))];
}

/// <summary>The files of the inventory.</summary>
internal static class CsvColumns
{
    /// <summary>A row for each cell of the table.</summary>
    public static CsvColumns<SummaryRow> OfSummary(IStringLocalizer texts, PersonDisplay display) => new(
        (texts["Weight class"], row => texts.ClassWord(row.WeightClass)),
        (texts["Colour"], row => row.ColourFamily is { } family ? texts.Say(Domain.Colours.ColourFamilyTerms.Name(family)) : texts.ColourWord(null)),
        (texts["Lots"], row => Whole(row.Lots)),
        (texts["Grams"], row => Grams(row.Mg)),
        (texts["Free, grams"], row => Grams(row.FreeMg)),
        (texts["At least, {0}", display.UnitName], row => row.MetresHigh > 0 ? Number(ApiMetres.Low(display.FromMetres(row.MetresLow))) : ""),
        (texts["Probably, {0}", display.UnitName], row => row.MetresHigh > 0 ? Number(ApiMetres.Likely(display.FromMetres(row.MetresLikely))) : ""),
        (texts["At most, {0}", display.UnitName], row => row.MetresHigh > 0 ? Number(ApiMetres.High(display.FromMetres(row.MetresHigh))) : ""));

    /// <summary>What a lot's page tells, a row for each lot.</summary>
    public static CsvColumns<LotView> OfLots(IStringLocalizer texts, PersonDisplay display)
    {
        double? InUnit(double? metres) => metres is { } known ? display.FromMetres(known) : null;
        return new(
            (texts["Lot"], lot => lot.Display),
            (texts["State"], lot => texts.Of(lot.Status)),
            (texts["Weight class"], lot => texts.ClassWord(lot.WeightClass)),
            (texts["Colour family"], lot => lot.ColourFamily is { } family ? texts.Say(Domain.Colours.ColourFamilyTerms.Name(family)) : texts.ColourWord(null)),
            (texts["Colour"], lot => texts.ColourOf(lot)),
            (texts["Colour, as #rrggbb"], lot => lot.ColourHex ?? ""),
            (texts["Grams"], lot => lot.OnHandMg is { } mg ? Grams(mg) : ""),
            (texts["Free, grams"], lot => Grams(lot.FreeMg)),
            (texts["Reserved, grams"], lot => Grams(lot.HeldMg)),
            (texts["In quarantine, grams"], lot => Grams(lot.QuarantinedMg)),
            (texts["At least, {0}", display.UnitName], lot => Number(ApiMetres.Low(InUnit(lot.MetresLow)))),
            (texts["Probably, {0}", display.UnitName], lot => Number(ApiMetres.Likely(InUnit(lot.MetresLikely)))),
            (texts["At most, {0}", display.UnitName], lot => Number(ApiMetres.High(InUnit(lot.MetresHigh)))),
            (texts["Free, at least, {0}", display.UnitName], lot => Number(ApiMetres.Low(InUnit(lot.FreeMetresLow)))),
            (texts["What the length rests on"], lot => lot.Basis is { } basis ? NoBreak.Plain(display.Say(basis)) : ""),
            (texts["Fibre"], lot => texts.SayPlainly(lot.FibrePhrase())),
            (texts["Machine washable"], lot => texts.Answer(lot.MachineWashable)),
            (texts["Care"], lot => lot.CareNotes),
            (texts["Texture"], lot => texts.Word(lot.Texture)),
            (texts["Softness"], lot => lot.Softness == Domain.Intake.Softness.Unknown ? "" : texts.Word(lot.Softness)),
            (texts["Put-up"], lot => texts.Word(lot.PutUp)),
            (texts["Pieces"], lot => Whole(lot.Count)),
            (texts["Dye lot"], lot => lot.DyeLot),
            (texts["Noted on it"], lot => texts.ConditionsOf(lot.Conditions)),
            (texts["Bin code"], lot => lot.BinDisplay),
            (texts["Bin"], lot => lot.BinName),
            (texts["Gift"], lot => lot.DonationNumber),
            (texts["Bag"], lot => Whole(lot.BagOrdinal)),
            (texts["Sorted on"], lot => display.LocalDay(lot.CreatedAt).ToString("O", CultureInfo.InvariantCulture)),
            (texts["The donor's wish"], lot => lot.Wishes),
            (texts["Notes"], lot => lot.Notes));
    }

    private static string Grams(long milligrams) => (milligrams / 1000m).ToString("0.###", CultureInfo.InvariantCulture);

    private static string Whole(long number) => number.ToString(CultureInfo.InvariantCulture);

    private static string Number(double? value) => value?.ToString("0.#", CultureInfo.InvariantCulture) ?? "";
}
