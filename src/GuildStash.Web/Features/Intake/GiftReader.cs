using GuildStash.Data.Guild;
using GuildStash.Data.Intake;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>A bag as pages and the intake sheet show it.</summary>
public sealed record BagView
{
    public required Guid Id { get; init; }

    public required int Ordinal { get; init; }

    public long GrossMg { get; init; }

    public long TareMg { get; init; }

    public long NetMg => GrossMg - TareMg;

    /// <summary>What is left to sort; below zero where the lots weigh more than the bag did.</summary>
    public long UnsortedMg { get; init; }

    /// <summary>What went into lots, as it was booked then.</summary>
    public long SortedMg { get; init; }

    public Conditions Conditions { get; init; }

    public QuarantineReason? QuarantineReason { get; init; }

    public DateTimeOffset? InspectedAt { get; init; }

    public string InspectionNote { get; init; } = "";

    public bool IsClosed { get; init; }

    /// <summary>How what no lot was made of left the bag; null while it is open, and where nothing was left.</summary>
    public MovementReason? Rest { get; init; }

    /// <summary>What was noted of it, or of lots that weighed more than the bag.</summary>
    public string RestNote { get; init; } = "";

    /// <summary>Lots sorted from it; those that were taken back do not count.</summary>
    public int Lots { get; init; }

    /// <summary>Lots that nobody weighed yet; the bag can't be closed before.</summary>
    public int Unweighed { get; init; }

    /// <summary>The guild's setting, in whole grams.</summary>
    public int ToleranceGrams { get; init; }

    /// <summary>The coarsest scale that its lots were weighed on; null where none is noted.</summary>
    public long? CoarsestDivisionMg { get; init; }

    /// <summary>What the scales explain between the bag and its lots.</summary>
    public long ToleranceMg => WeighingTolerance.Of(ToleranceGrams, CoarsestDivisionMg, NetMg);

    public bool StaysShut => ConditionRules.StaysShut(Conditions);
}

/// <summary>A gift with its bags. The donor is for volunteers only, as all of intake is.</summary>
public sealed record GiftView
{
    public required Guid Id { get; init; }

    public required string Number { get; init; }

    public IntakeKind Kind { get; init; }

    public IntakeDecision Decision { get; init; }

    public string DecisionReason { get; init; } = "";

    public DateOnly ReceivedOn { get; init; }

    /// <summary>Null: the donor wished no name.</summary>
    public string? DonorName { get; init; }

    public string Wishes { get; init; } = "";

    public string Notes { get; init; } = "";

    public DateTimeOffset CreatedAt { get; init; }

    public IReadOnlyList<BagView> Bags { get; init; } = [];
}

public enum GiftFilter
{
    All = 0,

    /// <summary>Has a bag that may be sorted now.</summary>
    ToSort = 1,

    /// <summary>Has a bag in quarantine.</summary>
    InQuarantine = 2,
}

/// <summary>What the form at the door needs to know.</summary>
/// <param name="Today">Day in the guild's zone.</param>
public sealed record IntakeDesk(DateOnly Today, QuarantinePolicy Policy);

public sealed record DonorChoice(Guid Id, string Name, string Contact);

/// <summary>A bag that waits for somebody at the sorting table.</summary>
public sealed record BagToSort(Guid BagId, Guid DonationId, string Number, DateOnly ReceivedOn, long NetMg, long UnsortedMg, int Lots, QuarantineReason? QuarantineReason, Conditions Conditions);

/// <summary>Reads gifts, bags and donors for volunteers.</summary>
public sealed class GiftReader(GuildWork work, DonorTrail trail)
{
    public Task<Outcome<PageOf<GiftView>>> ListAsync(Guid by, GiftFilter filter, string? query, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<GiftView>>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            IQueryable<Donation> gifts = filter switch
            {
                GiftFilter.ToSort => act.Db.Donations.Where(d => d.Bags.Any(b => b.ClosedAt == null)),
                GiftFilter.InQuarantine => act.Db.Donations.Where(d => d.Bags.Any(b => b.ClosedAt == null && b.QuarantineReason != null)),
                _ => act.Db.Donations,
            };
            if (!string.IsNullOrWhiteSpace(query))
            {
                string like = LikePattern.Containing(query);
                gifts = gifts.Where(d => EF.Functions.ILike(d.Number, like, LikePattern.EscapeSign) || EF.Functions.ILike(d.Notes, like, LikePattern.EscapeSign) || EF.Functions.ILike(d.Wishes, like, LikePattern.EscapeSign) || (d.Donor != null && EF.Functions.ILike(d.Donor.Name, like, LikePattern.EscapeSign)));
            }

            PageOf<GiftView> found = await Views(act, gifts.OrderByDescending(d => d.Number.Length).ThenByDescending(d => d.Number)).PageAsync(page, act.Cancellation);
            await trail.SawOfGiftsAsync(act, [.. found.Items.Where(g => g.DonorName is not null).Select(g => g.Id)]);
            return found;
        }, cancellation);

    public Task<Outcome<GiftView>> OneAsync(Guid by, Guid donationId, CancellationToken cancellation) =>
        work.ReadAsync<GiftView>(by, Role.Volunteer, async act =>
            await OneAsync(act, act.Db.Donations.Where(d => d.Id == donationId)) is { } gift ? gift : Refusal.NotFound("There is no such donation."), cancellation);

    /// <summary>The gift that a bag belongs to.</summary>
    public Task<Outcome<GiftView>> OfBagAsync(Guid by, Guid bagId, CancellationToken cancellation) =>
        work.ReadAsync<GiftView>(by, Role.Volunteer, async act =>
            await OneAsync(act, act.Db.Donations.Where(d => d.Bags.Any(b => b.Id == bagId))) is { } gift ? gift : Refusal.NotFound("There is no such bag."), cancellation);

    /// <summary>Bags that are open, oldest first; those in quarantine at the end.</summary>
    public Task<Outcome<PageOf<BagToSort>>> ToSortAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<BagToSort>>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            IQueryable<Lot> lots = SortedLots.Of(act.Db);
            return await act.Db.Bags.Where(b => b.ClosedAt == null)
                .OrderBy(b => b.QuarantineReason != null).ThenBy(b => b.Donation.ReceivedOn).ThenBy(b => b.Donation.Number).ThenBy(b => b.Ordinal)
                .Select(b => new BagToSort(b.Id, b.DonationId, b.Donation.Number + "/" + b.Ordinal, b.Donation.ReceivedOn, b.GrossMg - b.TareMg, b.UnsortedMg,
                    lots.Count(l => l.BagId == b.Id), b.QuarantineReason, b.Conditions))
                .PageAsync(page, act.Cancellation);
        }, cancellation);

    public Task<Outcome<IntakeDesk>> DeskAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<IntakeDesk>(by, Role.Volunteer, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            return new IntakeDesk(GuildClock.Today(guild, act.Now), guild.QuarantinePolicy);
        }, cancellation);

    /// <summary>Known donors whose name contains the words, at most twenty.</summary>
    public Task<Outcome<IReadOnlyList<DonorChoice>>> DonorsAsync(Guid by, string? words, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<DonorChoice>>(by, Role.Volunteer, async act =>
        {
            string like = LikePattern.Containing(words);
            List<DonorChoice> found = await act.Db.Donors.Where(d => EF.Functions.ILike(d.Name, like, LikePattern.EscapeSign)).OrderBy(d => d.Name).Take(20)
                .Select(d => new DonorChoice(d.Id, d.Name, d.Contact)).ToListAsync(act.Cancellation);
            await trail.SawAsync(act, [.. found.Select(d => d.Id)], DonorTrail.NameAndContact);
            return found;
        }, cancellation);

    private async Task<GiftView?> OneAsync(Act act, IQueryable<Donation> gifts)
    {
        GiftView? gift = await Views(act, gifts).SingleOrDefaultAsync(act.Cancellation);
        await trail.SawOfGiftsAsync(act, gift?.DonorName is null ? [] : [gift.Id]);
        return gift;
    }

    private static IQueryable<GiftView> Views(Act act, IQueryable<Donation> gifts)
    {
        IQueryable<Lot> lots = SortedLots.Of(act.Db);
        return gifts.Select(d => new GiftView
        {
            Id = d.Id,
            Number = d.Number,
            Kind = d.Kind,
            Decision = d.Decision,
            DecisionReason = d.DecisionReason,
            ReceivedOn = d.ReceivedOn,
            DonorName = d.Donor == null ? null : d.Donor.Name,
            Wishes = d.Wishes,
            Notes = d.Notes,
            CreatedAt = d.CreatedAt,
            Bags = d.Bags.OrderBy(b => b.Ordinal).Select(b => new BagView
            {
                Id = b.Id,
                Ordinal = b.Ordinal,
                GrossMg = b.GrossMg,
                TareMg = b.TareMg,
                UnsortedMg = b.UnsortedMg,
                SortedMg = act.Db.Movements.Where(m => m.BagId == b.Id && m.LotId != null && m.FromKind == PlaceKind.Bag).Sum(m => m.Mg)
                    - act.Db.Movements.Where(m => m.BagId == b.Id && m.LotId != null && m.ToKind == PlaceKind.Bag).Sum(m => m.Mg),
                Conditions = b.Conditions,
                QuarantineReason = b.QuarantineReason,
                InspectedAt = b.InspectedAt,
                InspectionNote = b.InspectionNote,
                IsClosed = b.ClosedAt != null,
                Rest = act.Db.Movements.Where(m => m.BagId == b.Id && m.LotId == null && m.FromKind == PlaceKind.Bag).OrderByDescending(m => m.Sequence).Select(m => (MovementReason?)m.Reason).FirstOrDefault(),
                RestNote = act.Db.Movements.Where(m => m.BagId == b.Id && m.LotId == null && (m.FromKind == PlaceKind.Bag || m.Reason == MovementReason.SortingDifference)).OrderByDescending(m => m.Sequence).Select(m => m.Note).FirstOrDefault() ?? "",
                Lots = lots.Count(l => l.BagId == b.Id),
                Unweighed = lots.Count(l => l.BagId == b.Id && !l.MassKnown),
                ToleranceGrams = act.Db.Guilds.Max(g => g.WeighingToleranceGrams),
                CoarsestDivisionMg = lots.Where(l => l.BagId == b.Id).Max(l => l.ScaleDivisionMg),
            }).ToList(),
        });
    }
}
