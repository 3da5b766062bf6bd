using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;

namespace GuildStash.Web.Features.Kits;

/// <summary>Where a kit stands; it follows from its holds and checkouts, so nothing has to be kept in step.</summary>
public enum KitState
{
    /// <summary>Its yarn is promised, and something of it is still to be weighed out.</summary>
    ToPack = 0,

    /// <summary>All of it is weighed out and waits for whoever makes it.</summary>
    Packed = 1,

    /// <summary>A member has it.</summary>
    AtHome = 2,

    /// <summary>What was taken home is used up or came back.</summary>
    Done = 3,

    /// <summary>Its yarn was put back before anybody took it home.</summary>
    PutBack = 4,
}

/// <summary>The states as questions to the database, and their keys in addresses.</summary>
internal static class KitStates
{
    public static readonly IReadOnlyList<(KitState State, string Key, string Name)> Each =
    [
        (KitState.ToPack, "to-pack", "To pack"),
        (KitState.Packed, "packed", "Packed"),
        (KitState.AtHome, "at-home", "At a member's home"),
        (KitState.Done, "done", "Done"),
        (KitState.PutBack, "put-back", "Put back"),
    ];

    public static string Name(KitState state) => Each[(int)state].Name;

    public static KitState? Find(string? key) => Each.Where(e => e.Key == key).Select(e => (KitState?)e.State).SingleOrDefault();

    /// <summary>Kits in a state, by the moment of the act: holds that ran out no longer wait.</summary>
    public static IQueryable<Kit> In(this IQueryable<Kit> kits, KitState state, GuildDbContext db, DateTimeOffset now) => state switch
    {
        KitState.ToPack => kits.Where(k => k.ReleasedAt == null && k.PackedAt == null && !k.Lines.Any(l => l.Hold.State == HoldState.TakenHome)),
        KitState.Packed => kits.Where(k => k.ReleasedAt == null && k.PackedAt != null && !k.Lines.Any(l => l.Hold.State == HoldState.TakenHome)),
        KitState.AtHome => kits.Where(k => k.ReleasedAt == null && k.Lines.Any(l => l.Hold.State == HoldState.TakenHome)
            && k.Lines.Any(l => (l.Hold.State == HoldState.Active && l.Hold.ExpiresAt > now) || db.Checkouts.Any(c => c.HoldId == l.HoldId && c.ClosedAt == null))),
        KitState.Done => kits.Where(k => k.ReleasedAt == null && k.Lines.Any(l => l.Hold.State == HoldState.TakenHome)
            && !k.Lines.Any(l => (l.Hold.State == HoldState.Active && l.Hold.ExpiresAt > now) || db.Checkouts.Any(c => c.HoldId == l.HoldId && c.ClosedAt == null))),
        _ => kits.Where(k => k.ReleasedAt != null),
    };

    /// <summary>
    /// Kits that nobody makes yet: anybody may say "I'll make this". Whose request was made for somebody else is that person's, and so is
    /// what a member planned for themselves.
    /// </summary>
    public static IQueryable<Kit> Open(this IQueryable<Kit> kits, GuildDbContext db, DateTimeOffset now) => kits.Where(k =>
        k.GivenAt == null && k.ReleasedAt == null && k.Request.MemberId == k.Request.CreatedById
        && !db.Plans.Any(p => p.Id == k.PlanId && p.Purpose == PlanPurpose.Member)
        && k.Lines.Any(l => l.Hold.State == HoldState.Active && l.Hold.ExpiresAt > now)
        && !k.Lines.Any(l => l.Hold.State == HoldState.TakenHome));
}
