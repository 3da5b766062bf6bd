using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.HandOver;

/// <param name="Passed">True: back to the lot's bin. False: thrown away.</param>
/// <param name="Conditions">Smells that stay noted on the lot, for instance smoke.</param>
public sealed record ReturnInspection(bool Passed, string? Note, IReadOnlyList<string>? Conditions = null);

/// <summary>Settles leftovers that wait in quarantine: free again, or thrown away.</summary>
public sealed class InspectReturn(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid returnId, ReturnInspection inspection, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => InspectAsync(act, returnId, inspection), cancellation);

    private static async Task<Outcome<bool>> InspectAsync(Act act, Guid returnId, ReturnInspection inspection)
    {
        Check check = new();
        string note = inspection.Passed ? check.Text(inspection.Note, "note", 1000) : check.Needed(inspection.Note, "note", 1000);
        Conditions conditions = check.Take(ConditionRules.FromKeys(inspection.Conditions));
        check.That(!inspection.Passed || (conditions & (Conditions.Insects | Conditions.Mould | Conditions.Damp)) == 0, "conditions",
            "Yarn with insects, mould or damp can't pass. Throw it away, or dry it and look again.");
        if (check.Failed)
        {
            return check.Refuse<bool>();
        }

        Guid lotId = await act.Db.LotReturns.Where(r => r.Id == returnId).Select(r => r.LotId).SingleOrDefaultAsync(act.Cancellation);
        Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
        LotReturn? back = await act.Db.LotReturns.SingleOrDefaultAsync(r => r.Id == returnId, act.Cancellation);
        if (lot is null || back is null)
        {
            return Refusal.NotFound("There is no such return.");
        }

        if (back.SettledAt is not null)
        {
            return Refusal.Conflict("return-settled", "This return was inspected already.");
        }

        if (inspection.Passed && lot.QuarantineReason is not null)
        {
            return Refusal.Conflict("lot-in-quarantine", "The rest of this lot is in quarantine. Release it first.");
        }

        Place from = Place.Bin(back.QuarantineBinId!.Value, true);
        MovementDraft draft = inspection.Passed
            ? MovementDraft.Create(from, Place.Bin(lot.BinId, false), back.Mg, MovementReason.Released)
            : MovementDraft.Create(from, Place.Waste, back.Mg, MovementReason.Discarded);
        act.Db.Movements.Add(Movement.OfLot(draft, lot, act.By.Id, act.Now, note));
        await act.Db.SaveChangesAsync(act.Cancellation);
        back.SettledAt = act.Now;
        back.SettledById = act.By.Id;
        back.InspectionNote = note;
        back.Conditions = conditions;
        lot.Conditions |= inspection.Passed ? conditions : Conditions.None;
        lot.ChangedAt = act.Now;
        lot.ChangedById = act.By.Id;
        lot.Version++;
        await LotClosing.CloseIfEmptyAsync(act, lot);
        return true;
    }
}
