using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Sorting;

/// <summary>Corrects what is known about a lot; its grams change only through the ledger (<see cref="WeighLot"/>), its bin through a move.</summary>
public sealed class EditLot(GuildWork work)
{
    /// <param name="version">The version the person saw; a newer one in the database refuses the change.</param>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, int version, LotInput input, CancellationToken cancellation) =>
        RunAsync(by, lotId, version, input, null, cancellation);

    /// <param name="version">The version the person saw; a newer one in the database refuses the change.</param>
    /// <param name="draftOf">The form whose draft this submits.</param>
    public Task<Outcome<LotView>> RunAsync(Guid by, Guid lotId, int version, LotInput input, string? draftOf, CancellationToken cancellation) =>
        work.WriteAsync<LotView>(by, Role.Volunteer, async act =>
        {
            Lot? lot = await LotLock.TakeAsync(act.Db, lotId, act.Cancellation);
            if (lot is null)
            {
                return Refusal.NotFound("There is no such lot.");
            }

            if (lot.Version != version)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed this lot meanwhile. Reload to see the present state, then enter your change again.");
            }

            Check check = new();
            check.That(lot.SealedBalls is null || input.Band is not null, "band", "{0} balls of this lot count by their band, which can't be left out. Weigh the lot first.", lot.SealedBalls ?? 0);
            LotFields.Apply(lot, input, act.Yardage, check);
            if (check.Failed)
            {
                return check.Refuse<LotView>();
            }

            lot.ChangedAt = act.Now;
            lot.ChangedById = act.By.Id;
            lot.Version++;
            await act.Db.SaveChangesAsync(act.Cancellation);
            await Drafts.SubmittedDraft.ForgetAsync(act, draftOf);
            return (await LotViews.ByIdAsync(act, lot.Id))!;
        }, cancellation);
}
