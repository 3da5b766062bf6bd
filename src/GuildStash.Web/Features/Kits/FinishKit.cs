using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Pieces of a kit that are made, and what is left of its yarn.</summary>
/// <param name="Pieces">Finished now; 0 where yarn comes back and nothing was made.</param>
/// <param name="On">The guild's day; today when null.</param>
/// <param name="Back">Leftovers on the scale, in grams by line. Only a volunteer takes them back.</param>
/// <param name="Conditions">What was noticed on the leftovers; an empty list says that somebody looked and found nothing, null that nobody looked.</param>
/// <param name="NothingLeft">Nothing else of it is at home: the rest went into the pieces.</param>
public sealed record FinishInput(
    int? Pieces, DateOnly? On, IReadOnlyDictionary<Guid, decimal?> Back, IReadOnlyList<string>? Conditions, bool NothingLeft, string? Note = null);

/// <param name="UsedMg">What the kit took; null while some of it is at home.</param>
public sealed record FinishedKit(int Pieces, long? UsedMg);

/// <summary>
/// Writes down finished pieces of a kit. Leftovers come back and the rest is used up by the same rules as at the desk, in one transaction,
/// so that what the pieces took is exactly what the books say. Where the yarn ends and nothing is finished, the note says why.
/// </summary>
public sealed class FinishKit(GuildWork work)
{
    public Task<Outcome<FinishedKit>> RunAsync(Guid by, Guid kitId, FinishInput input, Guid? scaleId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Member, act => FinishAsync(act, kitId, input, scaleId), cancellation);

    private static async Task<Outcome<FinishedKit>> FinishAsync(Act act, Guid kitId, FinishInput input, Guid? scaleId)
    {
        Check check = new();
        int pieces = input.Pieces ?? 0;
        check.That(pieces is >= 0 and <= MakeKit.MostPieces, "pieces", "0 to {0} pieces can be finished at once; {1} were given.", MakeKit.MostPieces, pieces);
        check.That(pieces > 0 || input.NothingLeft || input.Back.Any(b => b.Value is not null), "pieces", "Say how many are finished, or what comes back.");
        string note = check.Text(input.Note, "note", 500);
        DateOnly on = await PieceDays.TakeAsync(act, input.On, check);
        Outcome<Kit> found = await KitFinder.LockedAsync(act, kitId);
        if (!found.IsOk || check.Failed)
        {
            return Outcome<FinishedKit>.Refused(found.IsOk ? check.Refusals : found.Refusals);
        }

        Kit kit = found.Value;
        if (MayNot(act, kit, input) is { } refusal)
        {
            return refusal;
        }

        if (await KitEnding.TooManyAsync(act, kit, pieces) is { } tooMany)
        {
            return tooMany;
        }

        if (await ReturnAsync(act, kit, input, pieces == 0 ? note : "", scaleId) is { Count: > 0 } refused)
        {
            return Outcome<FinishedKit>.Refused(refused);
        }

        if (pieces > 0)
        {
            act.Db.PieceRecords.Add(KitSteps.Of(act, kit, PieceStep.Finished, pieces, on, kit.Request.MemberId, note));
        }

        await KitSteps.SettleAsync(act, kit);
        if (pieces == 0 && await KitEnding.UnsaidAsync(act, kit, true, note, "note") is { } unsaid)
        {
            return unsaid;
        }

        long used = await act.Db.PieceRecords.Where(r => r.KitId == kit.Id && r.UsedMg != null && !act.Db.PieceRecords.Any(t => t.TakesBackId == r.Id)).SumAsync(r => r.UsedMg ?? 0, act.Cancellation);
        return new FinishedKit(pieces, used > 0 ? used : null);
    }

    private static Refusal? MayNot(Act act, Kit kit, FinishInput input) => kit switch
    {
        _ when !kit.Lines.Any(l => l.Hold.State == HoldState.TakenHome) => Refusal.Conflict("kit-in-the-room", "Nothing of kit {0} was taken home yet, so nothing can be made of it.", kit.Number),
        _ when act.By.Role < Role.Volunteer && kit.Request.MemberId != act.By.Id => Refusal.NotFound("There is no such kit among those that you may see. Check the number on its label."),
        _ when act.By.Role < Role.Volunteer && input.Back.Any(b => b.Value is not null) => Refusal.Forbidden("Leftovers are weighed at the table. Bring them there; a volunteer takes them back."),
        _ => null,
    };

    private static async Task<IReadOnlyList<Refusal>> ReturnAsync(Act act, Kit kit, FinishInput input, string note, Guid? scaleId)
    {
        Guid[] holds = [.. kit.Lines.Select(l => l.HoldId)];
        Dictionary<Guid, Guid> open = await act.Db.Checkouts.Where(c => c.HoldId != null && holds.Contains(c.HoldId.Value) && c.ClosedAt == null)
            .ToDictionaryAsync(c => c.HoldId!.Value, c => c.Id, act.Cancellation);
        foreach (KitLine line in kit.Lines)
        {
            decimal? grams = input.Back.GetValueOrDefault(line.Id);
            if (!open.TryGetValue(line.HoldId, out Guid checkoutId))
            {
                if (grams is not null)
                {
                    return [Refusal.Conflict("checkout-closed", "Nothing of this yarn is at the member's home any more.") with { Field = HandOverKit.FieldOf(line.Id) }];
                }

                continue;
            }

            IReadOnlyList<Refusal> refusals = await ReturnAsync(act, checkoutId, grams, input, note, scaleId);
            if (refusals.Count > 0)
            {
                return [.. refusals.Select(r => r.Field == "grams" ? r with { Field = HandOverKit.FieldOf(line.Id) } : r)];
            }
        }

        return [];
    }

    private static async Task<IReadOnlyList<Refusal>> ReturnAsync(Act act, Guid checkoutId, decimal? grams, FinishInput input, string note, Guid? scaleId)
    {
        if (grams is not null)
        {
            return (await TakeBack.TakeBackAsync(act, checkoutId, new ReturnInput(grams, input.Conditions, input.NothingLeft), scaleId, note)).Refusals;
        }

        if (!input.NothingLeft)
        {
            return [];
        }

        Outcome<Checkout> checkout = await CheckoutFinder.LockedAsync(act, checkoutId);
        if (checkout.IsOk)
        {
            await CheckoutFinder.UseUpAsync(act, checkout.Value, note);
        }

        return checkout.Refusals;
    }
}
