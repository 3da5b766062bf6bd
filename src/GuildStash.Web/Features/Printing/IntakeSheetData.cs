using GuildStash.Data.Guild;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using GuildStash.Printing;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Printing;

/// <summary>Puts together what the intake sheet of one bag says. For volunteers, as the donor's name is on it.</summary>
public sealed class IntakeSheetData(GuildWork work, GiftReader gifts, InventoryReader lots, PublicAddress address)
{
    /// <summary>Far more than come out of any bag; what lies beyond is on the bag's page.</summary>
    private const int MostLots = PageRequest.LargestPageSize;

    /// <param name="bagOrdinal">Which bag of the gift, from 1.</param>
    public async Task<Outcome<PrintedPaper>> PrintAsync(Guid by, Guid donationId, int bagOrdinal, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<IntakeSheet> sheet = await SheetAsync(by, donationId, bagOrdinal, texts, cancellation);
        return sheet.IsOk
            ? new PrintedPaper($"{sheet.Value.DonationNumber}-{bagOrdinal}.pdf", IntakeSheetDocument.Render(sheet.Value, texts))
            : Outcome<PrintedPaper>.Refused(sheet.Refusals);
    }

    public async Task<Outcome<IntakeSheet>> SheetAsync(Guid by, Guid donationId, int bagOrdinal, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<GiftView> found = await gifts.OneAsync(by, donationId, cancellation);
        if (!found.IsOk)
        {
            return Outcome<IntakeSheet>.Refused(found.Refusals);
        }

        GiftView gift = found.Value;
        if (gift.Bags.FirstOrDefault(b => b.Ordinal == bagOrdinal) is not { } bag)
        {
            return Refusal.NotFound("Gift {0} has no bag {1}.", gift.Number, bagOrdinal);
        }

        Outcome<string> link = QrAddress.For(address, $"/g/{gift.Number}/{bag.Ordinal}");
        Outcome<GuildSettings> guild = await work.ReadAsync<GuildSettings>(by, Role.Volunteer, async act => await act.Db.Guilds.SingleAsync(act.Cancellation), cancellation);
        Outcome<PageOf<LotView>> sorted = await lots.LotsAsync(by, new LotFilter { BagId = bag.Id }, LotOrder.Oldest, new PageRequest(1, MostLots), cancellation);
        IReadOnlyList<Refusal> refusals = [.. link.Refusals, .. guild.Refusals, .. sorted.Refusals];
        return refusals.Count > 0
            ? Outcome<IntakeSheet>.Refused(refusals)
            : Sheet(gift, bag, texts, guild.Value, link.Value) with { Lots = [.. sorted.Value.Items.Select(lot => LotLine(lot, texts))] };
    }

    private static IntakeSheet Sheet(GiftView gift, BagView bag, PrintTexts texts, GuildSettings guild, string link) => new()
    {
        GuildName = guild.Name,
        DonationNumber = gift.Number,
        BagOrdinal = bag.Ordinal,
        BagCount = gift.Bags.Count,
        Kind = gift.Kind,
        ReceivedOn = gift.ReceivedOn,
        DonorName = gift.DonorName,
        Wishes = gift.Wishes,
        Notes = gift.Notes,
        Conditions = [.. ConditionRules.Each.Where(c => bag.Conditions.HasFlag(c.Condition)).Select(c => texts.Localise(c.Name, []))],
        Cautions = [.. Cautions(bag, guild.Protocol).Select(caution => texts.Say(caution))],
        GrossMilligrams = bag.GrossMg,
        TareMilligrams = bag.TareMg,
        SortedMilligrams = bag.SortedMg,
        Quarantine = bag.QuarantineReason is { } reason ? texts.Localise(QuarantineText(bag), [texts.Word(reason)]) : null,
        StaysShut = bag.StaysShut,
        BagUrl = link,
    };

    /// <summary>What was noted, and how a bag that is kept apart may leave quarantine, with the protocol's source.</summary>
    private static IEnumerable<Phrase> Cautions(BagView bag, QuarantineProtocol protocol) =>
        ConditionRules.Cautions(bag.Conditions).Concat(
            bag is { QuarantineReason: { } reason, StaysShut: false } && ReleaseRules.NeedsTreatmentOrTime(reason) ? [.. protocol.Sentences, .. FreezerRules.Cautions] : []);

    private static string QuarantineText(BagView bag) => bag.StaysShut
        ? "Reason: {0}. The bag stays shut and leaves the room."
        : "Reason: {0}. What is sorted from it lies in quarantine bins until an inspection is recorded.";

    private static IntakeSheetLot LotLine(LotView lot, PrintTexts texts) => new()
    {
        Code = lot.Display,
        Colour = LotOnPaper.Colour(lot, texts),
        PutUp = texts.Word(lot.PutUp),
        Balls = lot.Count,
        Milligrams = lot.OnHandMg,
        Wraps = lot.Wraps is { Count: { } count } wraps ? texts.Localise("{0} / {1} in", [texts.Number(count), texts.Number(wraps.Inches ?? 1)]) : null,
        Band = lot.Band is { Metres: { } metres, Grams: { } grams } ? new PrintedBand((double)metres, (double)grams) : null,
        Fibres = LotOnPaper.Fibres(lot, texts),
        WeightClass = LotOnPaper.WeightClass(lot, texts),
        Length = LotOnPaper.Length(lot),
        BinCode = lot.BinDisplay,
    };
}
