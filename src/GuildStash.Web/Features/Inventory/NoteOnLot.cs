using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Inventory;

/// <summary>Notes a smell or pet hair on a lot, or that it was washed or aired out; a mothball smell is noted for good.</summary>
public sealed class NoteOnLot(GuildWork work)
{
    /// <param name="found">Keys of what was found.</param>
    /// <param name="gone">Keys of what was noted and is gone.</param>
    public Task<Outcome<bool>> RunAsync(Guid by, Guid lotId, IReadOnlyList<string> found, IReadOnlyList<string> gone, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            Check check = new();
            Conditions seen = check.Take(ConditionRules.FromKeys(found));
            Conditions lost = check.Take(ConditionRules.FromKeys(gone));
            check.That((seen & (Conditions.Damp | Conditions.Mould | Conditions.Insects)) == Conditions.None, "conditions", "With damp, mould or insects a lot goes into quarantine: put it there and say what was seen.");
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
            if (lot is null)
            {
                return Refusal.NotFound("There is no such lot.");
            }

            Outcome<Conditions> noted = ConditionRules.Noted(lot.Conditions, seen, lost);
            if (!noted.IsOk)
            {
                return noted.Refusal;
            }

            lot.Conditions = noted.Value;
            lot.ChangedAt = act.Now;
            lot.ChangedById = act.By.Id;
            lot.Version++;
            return true;
        }, cancellation);
}
