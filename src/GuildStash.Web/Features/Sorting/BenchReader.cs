using GuildStash.Data.Guild;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Sorting;

/// <summary>A bag on the sorting table with the lots that came out of it last.</summary>
public sealed record Bench
{
    public required Guid BagId { get; init; }

    public required Guid DonationId { get; init; }

    /// <summary>The bag's number, for instance D-2026-0042/1.</summary>
    public required string Number { get; init; }

    public required int Ordinal { get; init; }

    /// <summary>Null: the donor wished no name.</summary>
    public string? DonorName { get; init; }

    public string Wishes { get; init; } = "";

    public long NetMg { get; init; }

    /// <summary>What is left to sort; below zero where the lots weigh more than the bag did.</summary>
    public long UnsortedMg { get; init; }

    public Conditions Conditions { get; init; }

    public QuarantineReason? QuarantineReason { get; init; }

    public QuarantinePolicy Policy { get; init; }

    public bool IsClosed { get; init; }

    /// <summary>Lots sorted from the bag, those that left the room included.</summary>
    public int Lots { get; init; }

    /// <summary>Lots of the bag that are still in the books.</summary>
    public int OpenLots { get; init; }

    public int Unweighed { get; init; }

    /// <summary>The lots in the books that were sorted last, the newest at the end.</summary>
    public IReadOnlyList<LotView> Latest { get; init; } = [];

    /// <summary>Codes of all open lots of the bag in the order of sorting, as many as labels can be printed at once.</summary>
    public IReadOnlyList<string> Codes { get; init; } = [];

    /// <summary>Division of the scale that this person weighed on last, in milligrams.</summary>
    public long? ScaleDivisionMg { get; init; }

    /// <summary>What went into lots, as it was booked then.</summary>
    public long SortedMg { get; init; }

    /// <summary>The coarsest scale that its lots were weighed on; null where none is noted.</summary>
    public long? CoarsestDivisionMg { get; init; }

    /// <summary>What the scales explain between the bag and its lots, in milligrams.</summary>
    public long ToleranceMg { get; init; }

    public bool StaysShut => ConditionRules.StaysShut(Conditions);

    public bool MayBeSorted => !IsClosed && !StaysShut;
}

/// <summary>Reads what the sorting page shows of one bag.</summary>
public sealed class BenchReader(GuildWork work, DonorTrail trail)
{
    /// <param name="latest">How many of its lots are wanted, 1 to 500.</param>
    public Task<Outcome<Bench>> OneAsync(Guid by, Guid bagId, int latest, CancellationToken cancellation) =>
        work.ReadAsync<Bench>(by, Role.Volunteer, async act =>
        {
            IQueryable<Lot> lots = SortedLots.Of(act.Db);
            Bench? bench = await act.Db.Bags.Where(b => b.Id == bagId).Select(b => new Bench
            {
                BagId = b.Id,
                DonationId = b.DonationId,
                Number = b.Donation.Number + "/" + b.Ordinal,
                Ordinal = b.Ordinal,
                DonorName = b.Donation.Donor == null ? null : b.Donation.Donor.Name,
                Wishes = b.Donation.Wishes,
                NetMg = b.GrossMg - b.TareMg,
                UnsortedMg = b.UnsortedMg,
                SortedMg = act.Db.Movements.Where(m => m.BagId == b.Id && m.LotId != null && m.FromKind == PlaceKind.Bag).Sum(m => m.Mg)
                    - act.Db.Movements.Where(m => m.BagId == b.Id && m.LotId != null && m.ToKind == PlaceKind.Bag).Sum(m => m.Mg),
                Conditions = b.Conditions,
                QuarantineReason = b.QuarantineReason,
                IsClosed = b.ClosedAt != null,
                Lots = lots.Count(l => l.BagId == b.Id),
                OpenLots = lots.Count(l => l.BagId == b.Id && l.ClosedAt == null),
                Unweighed = lots.Count(l => l.BagId == b.Id && !l.MassKnown),
                CoarsestDivisionMg = lots.Where(l => l.BagId == b.Id).Max(l => l.ScaleDivisionMg),
            }).SingleOrDefaultAsync(act.Cancellation);
            if (bench is null)
            {
                return Refusal.NotFound("There is no such bag.");
            }

            await trail.SawOfGiftsAsync(act, bench.DonorName is null ? [] : [bench.DonationId]);
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            IReadOnlyList<LotView> newest = await LatestAsync(act, bagId, Math.Clamp(latest, 1, PageRequest.LargestPageSize));
            return bench with
            {
                Policy = guild.QuarantinePolicy,
                ToleranceMg = WeighingTolerance.Of(guild.WeighingToleranceGrams, bench.CoarsestDivisionMg, bench.NetMg),
                Latest = newest,
                Codes = bench.OpenLots <= newest.Count
                    ? [.. newest.Select(l => l.Code)]
                    : await act.Db.Lots.Where(l => l.BagId == bagId && l.ClosedAt == null).OrderBy(l => l.CreatedAt).ThenBy(l => l.Id)
                        .Select(l => l.Code).Take(Printing.LabelJob.MostLabels).ToListAsync(act.Cancellation),
                ScaleDivisionMg = await act.Db.Lots.Where(l => l.CreatedById == act.By.Id && l.MassKnown)
                    .OrderByDescending(l => l.CreatedAt).ThenByDescending(l => l.Id).Select(l => l.ScaleDivisionMg).FirstOrDefaultAsync(act.Cancellation),
            };
        }, cancellation);

    private static async Task<IReadOnlyList<LotView>> LatestAsync(Act act, Guid bagId, int latest)
    {
        IQueryable<Lot> newest = act.Db.Lots.Where(l => l.BagId == bagId && l.ClosedAt == null).OrderByDescending(l => l.CreatedAt).ThenByDescending(l => l.Id).Take(latest);
        List<LotViews.Row> rows = await LotViews.Rows(newest).ToListAsync(act.Cancellation);
        return [.. rows.OrderBy(r => r.Lot.CreatedAt).ThenBy(r => r.Lot.Id).Select(r => LotViews.From(r, act.Yardage))];
    }
}
