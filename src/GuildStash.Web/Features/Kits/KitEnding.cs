using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>What is said of a kit's pieces when yarn of it is used up.</summary>
/// <param name="Pieces">Finished besides those that are written down; null where nobody said.</param>
/// <param name="Why">What became of the yarn where no piece was finished; at most 500 characters.</param>
public sealed record PiecesSaid(int? Pieces, string? Why);

/// <summary>
/// The last yarn of a kit does not end unsaid: who books it as used up says how many pieces it became, or why none. Otherwise the kit would be
/// done with nothing made, and its pieces counted as missing although they lie on the table.
/// </summary>
internal static class KitEnding
{
    /// <summary>Yarn may reach for more pieces than planned, but not for more than twice as many (a judgement): beyond that a digit was typed twice.</summary>
    private const int MostTimes = 2;

    /// <summary>The checks of what was said, before anything is booked.</summary>
    /// <returns>What became of the yarn where no piece was finished; it is kept as the note of the movement.</returns>
    public static string Read(PiecesSaid? said, Check check)
    {
        check.That(said?.Pieces is null or (>= 0 and <= MakeKit.MostPieces), "pieces", "0 to {0} pieces can be finished at once; {1} were given.", MakeKit.MostPieces, said?.Pieces ?? 0);
        string why = check.Text(said?.Why, "why", 500);
        return said?.Pieces is 0 ? why : "";
    }

    /// <summary>Writes the pieces down that were said, and refuses where the kit would end without. After its yarn was booked; a refusal takes that back.</summary>
    public static async Task<Refusal?> SayAsync(Act act, Checkout checkout, PiecesSaid? said)
    {
        if (checkout.HoldId is not { } holdId || await KitSteps.LockedAsync(act, holdId) is not { } kit)
        {
            return said?.Pieces > 0 ? Refusal.Invalid("pieces", "This yarn is in no kit. Write its pieces down at the project.") : null;
        }

        if (said?.Pieces is > 0 and var pieces)
        {
            return await WriteAsync(act, kit, pieces, said.Why ?? "");
        }

        return await UnsaidAsync(act, kit, said?.Pieces is 0, said?.Why, "why");
    }

    /// <summary>Why so many more can't be finished of a kit; null where they can.</summary>
    public static async Task<Refusal?> TooManyAsync(Act act, Kit kit, int pieces)
    {
        int before = await FinishedAsync(act, kit);
        return before + pieces > MostTimes * kit.Pieces
            ? Refusal.Invalid("pieces", "Kit {0} is for {1} pieces and {2} are finished already, so {3} more can't be right. Pieces that were made of other yarn are written down at the project.", kit.Number, kit.Pieces, before, pieces)
            : null;
    }

    /// <summary>Why the kit can't end like this; null where it goes on, was used for its pieces, or came back as a whole.</summary>
    /// <param name="saidNone">Somebody said that no more pieces are finished.</param>
    /// <param name="whyField">The field in which the reason is asked.</param>
    public static async Task<Refusal?> UnsaidAsync(Act act, Kit kit, bool saidNone, string? why, string whyField)
    {
        int finished = await FinishedAsync(act, kit);
        if (finished >= kit.Pieces || (saidNone && !string.IsNullOrWhiteSpace(why)) || !await EndsAsync(act, kit))
        {
            return null;
        }

        return saidNone
            ? Refusal.Invalid(whyField, "The yarn of kit {0} is used up and no more pieces are finished. Say in a few words what became of it.", kit.Number)
            : Refusal.Conflict("kit-pieces-unsaid", "With this, nothing of kit {0} is left, and {1} of its {2} pieces are written down. Say how many more are finished; 0 if none, with the reason.", kit.Number, finished, kit.Pieces) with { Field = "pieces" };
    }

    /// <summary>What was said when its yarn ended; members read it of their own kits.</summary>
    public static async Task<IReadOnlyList<string>> WordsAsync(Act act, KitView kit)
    {
        Guid[] checkouts = [.. kit.Lines.Select(l => l.CheckoutId).OfType<Guid>()];
        return kit.State != KitState.Done || kit.MemberName.Length == 0
            ? []
            : await act.Db.Movements.Where(m => m.CheckoutId != null && checkouts.Contains(m.CheckoutId.Value) && (m.Reason == MovementReason.UsedUp || m.Reason == MovementReason.Kept || m.Reason == MovementReason.Returned) && m.Note != "")
                .Select(m => m.Note).Distinct().OrderBy(n => n).Take(5).ToListAsync(act.Cancellation);
    }

    private static async Task<Refusal?> WriteAsync(Act act, Kit kit, int pieces, string note)
    {
        if (await TooManyAsync(act, kit, pieces) is { } refusal)
        {
            return refusal;
        }

        DateOnly today = GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now);
        act.Db.PieceRecords.Add(KitSteps.Of(act, kit, PieceStep.Finished, pieces, today, kit.Request.MemberId, note.Trim()));
        await KitSteps.SettleAsync(act, kit);
        return null;
    }

    private static Task<int> FinishedAsync(Act act, Kit kit) =>
        act.Db.PieceRecords.Where(r => r.KitId == kit.Id && r.Step == PieceStep.Finished).SumAsync(r => r.Pieces, act.Cancellation);

    /// <summary>Nothing of it is at home or waits for the member any more, and some was used.</summary>
    private static async Task<bool> EndsAsync(Act act, Kit kit)
    {
        await act.Db.SaveChangesAsync(act.Cancellation);
        IQueryable<KitLine> lines = act.Db.KitLines.Where(l => l.KitId == kit.Id);
        return !await lines.AnyAsync(l => (l.Hold.State == HoldState.Active && l.Hold.ExpiresAt > act.Now) || act.Db.Checkouts.Any(c => c.HoldId == l.HoldId && c.ClosedAt == null), act.Cancellation)
            && await act.Db.Movements.AnyAsync(m => (m.Reason == MovementReason.UsedUp || m.Reason == MovementReason.Kept)
                && act.Db.Checkouts.Any(c => c.Id == m.CheckoutId && lines.Any(l => l.HoldId == c.HoldId)), act.Cancellation);
    }
}
