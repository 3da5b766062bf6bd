using GuildStash.Data.Guild;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Makes a lot of what came out of a bag: gives it a code, books its grams from the bag and puts it where it belongs.</summary>
public sealed class AddLot(GuildWork work)
{
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid bagId, LotInput input, CancellationToken cancellation) =>
        RunAsync(by, bagId, input, null, cancellation);

    /// <param name="draftOf">The form whose draft this submits.</param>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid bagId, LotInput input, string? draftOf, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => AddAsync(act, bagId, input, draftOf), cancellation);

    /// <summary>The same for the n-th bag of a donation.</summary>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid donationId, int bagOrdinal, LotInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, async act =>
        {
            Outcome<Guid> bag = await BagRules.OfGiftAsync(act, donationId, bagOrdinal);
            return bag.IsOk ? await AddAsync(act, bag.Value, input, null) : Outcome<LotView>.Refused(bag.Refusals);
        }, cancellation);

    private static async Task<Outcome<LotView>> AddAsync(Act act, Guid bagId, LotInput input, string? draftOf)
    {
        Bag? bag = await BagLock.TakeAsync(act.Db, bagId, act.Cancellation);
        if (bag is null)
        {
            return Refusal.NotFound("There is no such bag.");
        }

        if (BagRules.MayBeSorted(bag, $"{bag.Donation.Number}/{bag.Ordinal}") is { } refusal)
        {
            return refusal;
        }

        Check check = new();
        Mass? mass = LotFields.ReadMass(input, check);
        Lot lot = NewLot(act, bag, mass is not null);
        LotFields.Apply(lot, input, act.Yardage, check);
        SealedInLot.Count(lot, input.WholeBalls, mass);
        LotFields.Compute(lot, act.Yardage);
        Counting.WeighedOn.Mark(lot, await Counting.ScaleFinder.TakeAsync(act, mass is null ? null : input.ScaleId, check));
        if (check.Failed)
        {
            return check.Refuse<LotView>();
        }

        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        lot.QuarantineReason = ConditionRules.LotQuarantine(guild.QuarantinePolicy, bag.QuarantineReason, LotTraitsOf.Fibres(lot));
        lot.QuarantinedAt = lot.QuarantineReason is null ? null : bag.QuarantinedAt ?? act.Now;
        Outcome<Bin> bin = await BinFinder.ForAsync(act, input.BinCode, "binCode", lot.QuarantineReason is not null);
        if (!bin.IsOk)
        {
            return Outcome<LotView>.Refused(bin.Refusals);
        }

        lot.BinId = bin.Value.Id;
        lot.Code = await NextCodeAsync(act);
        act.Db.Lots.Add(lot);
        if (mass is { } grams)
        {
            MovementDraft draft = MovementDraft.Create(Place.Bag(bag.Id), Place.Bin(bin.Value.Id, bin.Value.IsQuarantine), grams.Milligrams, MovementReason.Sorted);
            act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, scaleDivisionMg: lot.ScaleDivisionMg));
        }

        await act.Db.SaveChangesAsync(act.Cancellation);
        await Drafts.SubmittedDraft.ForgetAsync(act, draftOf);
        return (await LotViews.ByIdAsync(act, lot.Id))!;
    }

    private static Lot NewLot(Act act, Bag bag, bool massKnown) => new()
    {
        Code = "",
        BagId = bag.Id,
        DonationId = bag.DonationId,
        Conditions = bag.Conditions,
        MassKnown = massKnown,
        CreatedAt = act.Now,
        CreatedById = act.By.Id,
        ChangedAt = act.Now,
        ChangedById = act.By.Id,
    };

    /// <summary>A code that no lot has; call it as late as possible.</summary>
    internal static async Task<string> NextCodeAsync(Act act)
    {
        long serial;
        do
        {
            serial = await Numbers.NextAsync(act.Db, Numbers.Lots, 0, act.Cancellation);
        }
        while (!LotCode.IsUsable(serial));
        return LotCode.FromSerial(serial).Value;
    }
}
