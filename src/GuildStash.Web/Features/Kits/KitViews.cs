using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Yarn of one lot in a kit.</summary>
/// <param name="Metres">All strands together, metres.</param>
/// <param name="HeldMg">What the hold keeps: planned, then weighed.</param>
/// <param name="Hold">As it counts at this moment: one that ran out has lapsed, whether or not somebody tidied up.</param>
/// <param name="Site">Where its bin is; empty where there is one site only.</param>
public sealed record KitLineView(
    Guid Id, int Position, string Part, LotView Lot, string Site, long PlannedMg, double Metres, long HeldMg, Guid HoldId, HoldState Hold, DateTimeOffset ExpiresAt,
    long? WeighedMg, long? ScaleDivisionMg, bool IsPicked)
{
    public bool IsLapsed => Hold is HoldState.Lapsed or HoldState.Cancelled;

    /// <summary>Null: not handed over.</summary>
    public Guid? CheckoutId { get; init; }

    public long TakenMg { get; init; }

    public long AtHomeMg { get; init; }

    public bool IsSettled { get; init; }

    /// <summary>Metres by which the weighed grams fall short of the planned ones; null where they don't, or nothing is weighed.</summary>
    public double? ShortMetres => WeighedMg is { } mg ? WeighKitLine.Short(PlannedMg, Metres, mg, ScaleDivisionMg) : null;
}

/// <summary>A kit with its lines, as pages and papers show it.</summary>
public sealed record KitView
{
    public required Guid Id { get; init; }

    public required string Number { get; init; }

    public required KitState State { get; init; }

    /// <summary>Nobody makes it yet.</summary>
    public bool IsOpen { get; init; }

    /// <summary>Somebody said that they make it, or was named.</summary>
    public bool IsGiven { get; init; }

    public required string PieceName { get; init; }

    public int Pieces { get; init; }

    public Guid? PieceId { get; init; }

    public Guid? WantedPieceId { get; init; }

    public Guid? ProjectId { get; init; }

    public string? ProjectName { get; init; }

    public string? PlanNumber { get; init; }

    /// <summary>Only where the person may open the plan.</summary>
    public Guid? PlanId { get; init; }

    public Guid RequestId { get; init; }

    public required string RequestNumber { get; init; }

    public Guid MemberId { get; init; }

    public string MemberName { get; init; } = "";

    public string Note { get; init; } = "";

    public DateTimeOffset CreatedAt { get; init; }

    public DateTimeOffset? PackedAt { get; init; }

    public DateTimeOffset? ReleasedAt { get; init; }

    public string ReleaseReason { get; init; } = "";

    /// <summary>Finished pieces by its records.</summary>
    public int Finished { get; init; }

    public required IReadOnlyList<KitLineView> Lines { get; init; }

    /// <summary>For parts of which less was weighed than planned: the chance that they run short, where it can be told. Only of a kit that is read by its number.</summary>
    public IReadOnlyDictionary<string, double> ShortChances { get; init; } = new Dictionary<string, double>();

    /// <summary>What was said where its yarn was used up and pieces were missing. Only of a kit that is read by its number.</summary>
    public IReadOnlyList<string> Endings { get; init; } = [];

    public bool HasLapsed => State is KitState.ToPack or KitState.Packed && Lines.Any(l => l.IsLapsed);

    /// <summary>When the first of its running holds lapses.</summary>
    public DateTimeOffset? LapsesAt => Lines.Where(l => l.Hold == HoldState.Active).Select(l => (DateTimeOffset?)l.ExpiresAt).Min();

    public int Weighed => Lines.Count(l => l.WeighedMg is not null);
}

/// <summary>Reads kits for showing: the kits, their lots and their checkouts in a handful of queries, however many kits.</summary>
internal static class KitViews
{
    private sealed record Row(Kit Kit, string RequestNumber, Guid MemberId, string MemberName, string? ProjectName, string? PlanNumber, Guid? SeenPlan, string Note, bool IsOpen, int Finished);

    private sealed record LineRow(KitLine Line, Guid LotId, string Site, long HeldMg, HoldState State, DateTimeOffset ExpiresAt, Guid? CheckoutId, long TakenMg, long AtHomeMg, bool IsSettled);

    /// <param name="kits">At most as many as a page has; their order stays.</param>
    public static async Task<List<KitView>> ReadAsync(Act act, IQueryable<Kit> kits)
    {
        IQueryable<Plan> plans = PlanViews.Seen(act);
        List<Row> rows = await kits.Select(k => new Row(
                k, k.Request.Number, k.Request.MemberId, k.Request.Member.DisplayName,
                act.Db.Projects.Where(p => p.Id == k.ProjectId).Select(p => p.Name).FirstOrDefault(),
                act.Db.Plans.Where(p => p.Id == k.PlanId).Select(p => p.Number).FirstOrDefault(),
                plans.Where(p => p.Id == k.PlanId).Select(p => (Guid?)p.Id).FirstOrDefault(),
                k.Request.Note,
                act.Db.Kits.Open(act.Db, act.Now).Any(o => o.Id == k.Id),
                act.Db.PieceRecords.Where(r => r.KitId == k.Id && r.Step == Domain.Projects.PieceStep.Finished).Sum(r => r.Pieces)))
            .AsNoTracking().ToListAsync(act.Cancellation);
        Guid[] ids = [.. rows.Select(r => r.Kit.Id)];
        ILookup<Guid, KitLineView> lines = await LinesAsync(act, ids);
        return rows.ConvertAll(r => View(r, [.. lines[r.Kit.Id].OrderBy(l => l.Position).ThenBy(l => l.Id)], act.By));
    }

    private static async Task<ILookup<Guid, KitLineView>> LinesAsync(Act act, Guid[] kits)
    {
        bool several = await act.Db.Sites.CountAsync(act.Cancellation) > 1;
        List<LineRow> rows = await act.Db.KitLines.Where(l => kits.Contains(l.KitId))
            .Select(l => new
            {
                Line = l,
                l.Hold,
                Site = several ? l.Hold.Lot.Bin.Site.Name : "",
                Checkout = act.Db.Checkouts.Where(c => c.HoldId == l.HoldId).Select(c => new { c.Id, c.TakenMg, c.AtHomeMg, c.ClosedAt }).FirstOrDefault(),
            })
            .Select(x => new LineRow(
                x.Line, x.Hold.LotId, x.Site, x.Hold.Mg, x.Hold.State, x.Hold.ExpiresAt,
                x.Checkout == null ? null : x.Checkout.Id, x.Checkout == null ? 0 : x.Checkout.TakenMg, x.Checkout == null ? 0 : x.Checkout.AtHomeMg,
                x.Checkout != null && x.Checkout.ClosedAt != null))
            .AsNoTracking().ToListAsync(act.Cancellation);
        Guid[] lotIds = [.. rows.Select(r => r.LotId).Distinct()];
        Dictionary<Guid, LotView> lots = (await LotViews.Rows(act.Db.Lots.Where(l => lotIds.Contains(l.Id))).ToListAsync(act.Cancellation))
            .ToDictionary(r => r.Lot.Id, r => LotViews.From(r, act.Yardage));
        return rows.ToLookup(r => r.Line.KitId, r => Line(r, lots[r.LotId], act.Now));
    }

    private static KitLineView Line(LineRow row, LotView lot, DateTimeOffset now)
    {
        KitLine line = row.Line;
        HoldState state = row.State == HoldState.Active && row.ExpiresAt <= now ? HoldState.Lapsed : row.State;
        return new KitLineView(
            line.Id, line.Position, line.Part, lot, row.Site, line.PlannedMg, line.Metres, row.HeldMg, line.HoldId, state, row.ExpiresAt,
            line.WeighedMg, line.ScaleDivisionMg, line.PickedAt is not null)
        {
            CheckoutId = row.CheckoutId,
            TakenMg = row.TakenMg,
            AtHomeMg = row.AtHomeMg,
            IsSettled = row.IsSettled,
        };
    }

    /// <summary>Members don't learn each other's names; a kit of somebody else they see only where nobody makes it yet.</summary>
    private static KitView View(Row row, IReadOnlyList<KitLineView> lines, Actor by) => new()
    {
        Id = row.Kit.Id,
        Number = row.Kit.Number,
        State = StateOf(row.Kit, lines),
        IsOpen = row.IsOpen,
        IsGiven = row.Kit.GivenAt is not null,
        PieceName = row.Kit.PieceName,
        Pieces = row.Kit.Pieces,
        PieceId = row.Kit.PieceId,
        WantedPieceId = row.Kit.WantedPieceId,
        ProjectId = row.Kit.ProjectId,
        ProjectName = row.ProjectName,
        PlanId = row.SeenPlan,
        PlanNumber = row.PlanNumber,
        RequestId = row.Kit.RequestId,
        RequestNumber = row.RequestNumber,
        MemberId = row.MemberId,
        MemberName = by.Role >= Role.Volunteer || row.MemberId == by.Id ? row.MemberName : "",
        Note = by.Role >= Role.Volunteer || row.MemberId == by.Id ? row.Note : "",
        CreatedAt = row.Kit.CreatedAt,
        PackedAt = row.Kit.PackedAt,
        ReleasedAt = row.Kit.ReleasedAt,
        ReleaseReason = row.Kit.ReleaseReason,
        Finished = row.Finished,
        Lines = lines,
    };

    /// <summary>The same as <see cref="KitStates.In"/> asks the database.</summary>
    private static KitState StateOf(Kit kit, IReadOnlyList<KitLineView> lines)
    {
        bool begun = lines.Any(l => l.Hold == HoldState.TakenHome);
        bool goesOn = lines.Any(l => l.Hold == HoldState.Active || l is { CheckoutId: not null, IsSettled: false });
        return (kit.ReleasedAt, begun, kit.PackedAt) switch
        {
            (not null, _, _) => KitState.PutBack,
            (_, true, _) => goesOn ? KitState.AtHome : KitState.Done,
            (_, _, not null) => KitState.Packed,
            _ => KitState.ToPack,
        };
    }
}
