using GuildStash.Domain.Codes;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <summary>What people read of a lot, a bag or a project in a history.</summary>
/// <param name="Name">The code in groups, the bag's number, or the project's name.</param>
/// <param name="Detail">Of a bag its donor's name, for those who may see it.</param>
/// <param name="Hex">The yarn's colour, picked or its family's; null where it is not known or of many colours.</param>
public sealed record FlowName(string Name, string Detail = "", string? Href = null, string? Hex = null, ColourFamily? Colour = null, WeightClass? WeightClass = null);

/// <summary>Where yarn came from and what became of it.</summary>
/// <param name="Title">The lot's code in groups, or the gift's number.</param>
/// <param name="Code">The lot's code without hyphen; null for a gift.</param>
/// <param name="DonationId">The gift; null for a lot.</param>
/// <param name="About">Key of the lot that was asked for.</param>
/// <param name="Names">What the keys of lots, bags and projects are called.</param>
/// <param name="HasMore">There are more lots than the most that are shown.</param>
public sealed record FlowView(string Title, string? Code, Guid? DonationId, Guid? About, FlowBook Book, IReadOnlyDictionary<Guid, FlowName> Names, bool HasMore);

/// <summary>Reads the history of a lot with all that was split from it or merged with it, or of a gift.</summary>
public sealed class FlowReader(GuildWork work)
{
    /// <summary>More lots make a picture that nobody can follow (a judgement).</summary>
    public const int MostLots = 40;

    /// <summary>Whoever may see a lot may see its history; donors' names are for volunteers.</summary>
    public Task<Outcome<FlowView>> OfLotAsync(Guid by, string? code, CancellationToken cancellation) =>
        work.ReadAsync<FlowView>(by, Role.Member, async act =>
        {
            Outcome<LotCode> typed = LotCode.Parse(code);
            if (!typed.IsOk)
            {
                return new Refusal("not-found", RefusalKind.NotFound, typed.Refusal.Sentence, "lotCode");
            }

            string value = typed.Value.Value;
            Guid lot = await act.Db.Lots.Where(l => l.Code == value).Select(l => l.Id).SingleOrDefaultAsync(act.Cancellation);
            return lot == Guid.Empty
                ? Refusal.NotFound("There is no lot {0}. Check the label.", typed.Value.Display)
                : await ReadAsync(act, new FlowView(typed.Value.Display, value, null, lot, new FlowBook(), new Dictionary<Guid, FlowName>(), false), [lot], []);
        }, cancellation);

    public Task<Outcome<FlowView>> OfGiftAsync(Guid by, Guid donationId, CancellationToken cancellation) =>
        work.ReadAsync<FlowView>(by, Role.Volunteer, async act =>
        {
            var gift = await act.Db.Donations.Where(d => d.Id == donationId).Select(d => new { d.Number, Bags = d.Bags.Select(b => b.Id).ToArray() }).SingleOrDefaultAsync(act.Cancellation);
            if (gift is null)
            {
                return Refusal.NotFound("There is no such donation.");
            }

            Guid[] lots = await act.Db.Lots.Where(l => l.DonationId == donationId).OrderByDescending(l => l.OnHandMg).ThenBy(l => l.Id).Take(MostLots + 1).Select(l => l.Id).ToArrayAsync(act.Cancellation);
            return await ReadAsync(act, new FlowView(gift.Number, null, donationId, null, new FlowBook(), new Dictionary<Guid, FlowName>(), false), lots, gift.Bags);
        }, cancellation);

    private static async Task<FlowView> ReadAsync(Act act, FlowView view, Guid[] from, Guid[] bags)
    {
        List<Guid> kin = await FlowSql.KinAsync(act, from, MostLots + 1);
        Guid[] lots = [.. kin.Take(MostLots)];
        List<FlowEntry> entries = [.. (await FlowSql.EntriesAsync(act, lots, bags)).Select(EntryOf)];
        FlowBook book = FlowBook.Read(entries);
        return view with { Book = book, Names = await NamesAsync(act, book, lots), HasMore = kin.Count > MostLots };
    }

    private static FlowEntry EntryOf(FlowSql.Row row) => new()
    {
        LotId = row.LotId,
        Stage = row.Stage,
        From = Enum.Parse<PlaceKind>(row.FromKind),
        To = Enum.Parse<PlaceKind>(row.ToKind),
        Reason = Enum.Parse<MovementReason>(row.Reason),
        BagId = row.BagId,
        ProjectId = row.ProjectId,
        TransferId = row.TransferId,
        IsUndone = row.IsUndone,
        HomeLotId = row.HomeLotId,
        HomeStage = row.HomeStage,
        Mg = row.Mg,
        Times = row.Times,
        First = row.First,
        Last = row.Last,
    };

    private static async Task<Dictionary<Guid, FlowName>> NamesAsync(Act act, FlowBook book, Guid[] lots)
    {
        FlowKey[] keys = [.. book.Steps.SelectMany(s => new[] { s.From, s.To }).Distinct()];
        Guid[] bags = [.. keys.Where(k => k.Kind == FlowNodeKind.Bag).Select(k => k.Id)];
        Guid[] projects = [.. keys.Where(k => k.Kind == FlowNodeKind.Pieces).Select(k => k.Id)];
        bool volunteer = act.By.Role >= Role.Volunteer;
        Dictionary<Guid, FlowName> names = [];
        foreach (var lot in await act.Db.Lots.Where(l => lots.Contains(l.Id)).Select(l => new { l.Id, l.Code, l.ColourHex, l.ColourFamily, l.WeightClass }).ToListAsync(act.Cancellation))
        {
            string? hex = lot.ColourFamily == ColourFamily.Multicolour ? null : lot.ColourHex ?? (lot.ColourFamily is { } family ? FamilySwatches.Of(family) : null);
            names[lot.Id] = new(LotCode.Parse(lot.Code).Value.Display, "", $"/inventory/{lot.Code}?own=1", hex, lot.ColourFamily, lot.WeightClass);
        }

        foreach (var bag in await act.Db.Bags.Where(b => bags.Contains(b.Id)).Select(b => new { b.Id, b.DonationId, b.Donation.Number, b.Ordinal, Donor = b.Donation.Donor == null ? "" : b.Donation.Donor.Name }).ToListAsync(act.Cancellation))
        {
            names[bag.Id] = new($"{bag.Number}/{bag.Ordinal}", volunteer ? bag.Donor : "", volunteer ? $"/intake/{bag.DonationId}" : null);
        }

        foreach (var project in await act.Db.Projects.Where(p => projects.Contains(p.Id)).Select(p => new { p.Id, p.Name }).ToListAsync(act.Cancellation))
        {
            names[project.Id] = new(project.Name, "", $"/projects/{project.Id}");
        }

        return names;
    }
}
