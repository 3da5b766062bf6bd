using GuildStash.Data.Approvals;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Quarantine;
using GuildStash.Web.Features.SecondPerson;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>What an inspection found.</summary>
/// <param name="BagId">The bag; its lots go with it.</param>
/// <param name="LotId">Or a single lot that is kept apart for itself.</param>
/// <param name="BinCode">Open bin for the lots; the sorting table when empty.</param>
/// <param name="Note">What was looked at and found; needed, since days alone never release anything.</param>
public sealed record InspectionInput(Guid? BagId, Guid? LotId, string? BinCode, string? Note);

/// <summary>A release that waits for a second person.</summary>
public sealed record AskedRelease(Guid ApprovalId, int Lots, long Mg, string BinCode);

/// <summary>Records an inspection and asks a second person to release a bag or a lot from quarantine; nothing moves before.</summary>
public sealed class AskRelease(GuildWork work)
{
    public Task<Outcome<AskedRelease>> RunAsync(Guid by, InspectionInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => AskAsync(act, input), cancellation);

    private static async Task<Outcome<AskedRelease>> AskAsync(Act act, InspectionInput input)
    {
        Check check = new();
        string note = check.Needed(input.Note, "note", 1000);
        check.That(input.BagId is null != input.LotId is null, "bagId", "Name either a bag or a lot.");
        Bin? target = check.Take(await BinFinder.OpenShelfAsync(act, input.BinCode, "binCode"));
        if (check.Failed)
        {
            return check.Refuse<AskedRelease>();
        }

        Outcome<Quarantined> found = await Quarantined.TakeAsync(act, input.BagId, input.LotId);
        if (!found.IsOk)
        {
            return Outcome<AskedRelease>.Refused(found.Refusals);
        }

        Quarantined apart = found.Value;
        string display = apart.BagNumber ?? LotCode.Parse(apart.Lots[0].Code).Value.Display;
        QuarantineReleaseRequest request = new(apart.BagNumber, apart.Bag is null ? apart.Lots[0].Code : null, apart.Lots.Count, apart.Mg, target!.Code, note);
        Outcome<Approval> asked = await AskSecondPerson.ForAsync(act, ApprovalKind.QuarantineRelease, request, new ApprovalSubject(display, apart.Mg, [.. apart.Lots.Select(l => l.Id)], input.BagId));
        return asked.IsOk ? new AskedRelease(asked.Value.Id, apart.Lots.Count, apart.Mg, target.Code) : Outcome<AskedRelease>.Refused(asked.Refusals);
    }
}

/// <summary>What would leave quarantine together, locked.</summary>
/// <param name="Bag">Null where a single lot is meant.</param>
/// <param name="InBin">Milligrams in the own bin of each lot.</param>
internal sealed record Quarantined(Bag? Bag, IReadOnlyList<Lot> Lots, IReadOnlyDictionary<Guid, long> InBin)
{
    public string? BagNumber => Bag is null ? null : $"{Bag.Donation.Number}/{Bag.Ordinal}";

    public long Mg => InBin.Values.Sum();

    /// <summary>Locks the bag and its lots, or the lot, and asks whether they may be released at all.</summary>
    public static async Task<Outcome<Quarantined>> TakeAsync(Act act, Guid? bagId, Guid? lotId)
    {
        Bag? bag = null;
        if (bagId is { } id)
        {
            bag = await BagLock.TakeAsync(act.Db, id, act.Cancellation);
            if (bag is null)
            {
                return Refusal.NotFound("There is no such bag.");
            }

            if (BagRules.MayBeReleased(bag, $"{bag.Donation.Number}/{bag.Ordinal}") is { } refusal)
            {
                return refusal;
            }
        }

        List<Guid> ids = await act.Db.Lots
            .Where(l => (l.BagId == bagId || l.Id == lotId) && l.QuarantineReason != null && l.ClosedAt == null)
            .Select(l => l.Id).ToListAsync(act.Cancellation);
        List<Lot> lots = await LotLock.TakeAsync(act.Db, ids, act.Cancellation);
        lots.RemoveAll(l => l.QuarantineReason is null || l.ClosedAt is not null);
        return lotId is not null && lots.Count == 0
            ? Refusal.Conflict("not-in-quarantine", "This lot is not in quarantine.")
            : await AllowedAsync(act, bag, lots);
    }

    /// <summary>Treatment or time by the guild's protocol, of the bag and of each of its lots.</summary>
    private static async Task<Outcome<Quarantined>> AllowedAsync(Act act, Bag? bag, List<Lot> lots)
    {
        QuarantineProtocol protocol = (await act.Db.Guilds.SingleAsync(act.Cancellation)).Protocol;
        QuarantineStandings standings = await QuarantineStandings.ReadAsync(act, bag?.Id, lots);
        Check check = new();
        IEnumerable<(QuarantineStanding Standing, string What)> all = lots.Select(lot => (standings.Of(lot), "Lot " + LotCode.Parse(lot.Code).Value.Display))
            .Concat(bag is null ? [] : [(standings.Of(bag), $"Bag {bag.Donation.Number}/{bag.Ordinal}")]);
        foreach ((QuarantineStanding standing, string what) in all)
        {
            if (ReleaseRules.MayBeReleased(standing, protocol, act.Now, what) is { } refusal)
            {
                check.Add(refusal);
            }
        }

        return check.Failed ? check.Refuse<Quarantined>() : new Quarantined(bag, lots, await LotPlace.InOwnBinMgAsync(act, lots));
    }
}
