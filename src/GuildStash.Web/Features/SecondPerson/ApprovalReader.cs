using GuildStash.Data.Approvals;
using GuildStash.Data.Guild;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.SecondPerson;

/// <summary>A request as pages show it.</summary>
public sealed record ApprovalView
{
    public required Guid Id { get; init; }

    public required ApprovalKind Kind { get; init; }

    public required ApprovalState State { get; init; }

    public required string Subject { get; init; }

    /// <summary>Where the subject is shown; null for what has no page.</summary>
    public string? Href { get; init; }

    public required Phrase Sentence { get; init; }

    /// <summary>The asker's own words: what was found, or why.</summary>
    public string Note { get; init; } = "";

    /// <summary>What has changed since it was asked for, while it waits.</summary>
    public IReadOnlyList<Phrase> Since { get; init; } = [];

    public required DateTimeOffset AskedAt { get; init; }

    public required string AskedBy { get; init; }

    public DateTimeOffset? DecidedAt { get; init; }

    public string DecidedBy { get; init; } = "";

    public string DecisionNote { get; init; } = "";

    /// <summary>Hours after which the asker confirmed it alone; null where a second person did.</summary>
    public int? ReviewAfterHours { get; init; }

    /// <summary>The reader asked for it and may withdraw it.</summary>
    public bool IsMine { get; init; }

    /// <summary>The reader may approve it now.</summary>
    public bool MayApprove { get; init; }

    /// <summary>The reader may decline it.</summary>
    public bool MayDecline { get; init; }

    /// <summary>When the reader may confirm it as a delayed review, where that lies ahead.</summary>
    public DateTimeOffset? ReviewFrom { get; init; }

    /// <summary>Stands for what the reader sees of changes; handed back when deciding.</summary>
    public string Seen => SeenOf(Since);

    internal static string SeenOf(IReadOnlyList<Phrase> since) => string.Join('\n', since);
}

/// <param name="Review">How the guild works, shown above the list.</param>
public sealed record ApprovalDesk(DelayedReview Review, PageOf<ApprovalView> Waiting);

/// <summary>Reads requests for a second person, for those who work in the room.</summary>
public sealed class ApprovalReader(GuildWork work)
{
    /// <summary>Requests shown on one lot or bag.</summary>
    private const int MostOfOne = 20;

    /// <summary>What waits, the oldest first.</summary>
    public Task<Outcome<ApprovalDesk>> WaitingAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<ApprovalDesk>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            PageOf<Approval> rows = await act.Db.Approvals.Include(a => a.Lots).Where(a => a.State == ApprovalState.Waiting).OrderBy(a => a.AskedAt).ThenBy(a => a.Id).PageAsync(page, act.Cancellation);
            return new ApprovalDesk(guild.DelayedReview, new PageOf<ApprovalView>(await ViewsAsync(act, rows.Items, guild.DelayedReview), rows.Page, rows.PageSize, rows.Total));
        }, cancellation);

    /// <summary>What was settled, the latest first.</summary>
    public Task<Outcome<PageOf<ApprovalView>>> SettledAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<ApprovalView>>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            PageOf<Approval> rows = await act.Db.Approvals.Where(a => a.State != ApprovalState.Waiting)
                .OrderByDescending(a => a.DecidedAt).ThenByDescending(a => a.Id).PageAsync(page, act.Cancellation);
            return new PageOf<ApprovalView>(await ViewsAsync(act, rows.Items, new DelayedReview(false, 0)), rows.Page, rows.PageSize, rows.Total);
        }, cancellation);

    /// <summary>What waits for one lot.</summary>
    public Task<Outcome<IReadOnlyList<ApprovalView>>> OfLotAsync(Guid by, Guid lotId, CancellationToken cancellation) =>
        OneAsync(by, db => db.Approvals.Where(a => a.Lots.Any(l => l.LotId == lotId)), cancellation);

    /// <summary>What waits for one bag.</summary>
    public Task<Outcome<IReadOnlyList<ApprovalView>>> OfBagAsync(Guid by, Guid bagId, CancellationToken cancellation) =>
        OneAsync(by, db => db.Approvals.Where(a => a.BagId == bagId), cancellation);

    private Task<Outcome<IReadOnlyList<ApprovalView>>> OneAsync(Guid by, Func<Data.GuildDbContext, IQueryable<Approval>> which, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<ApprovalView>>(by, Role.Volunteer, async act =>
        {
            List<Approval> rows = await which(act.Db).Include(a => a.Lots).Where(a => a.State == ApprovalState.Waiting).OrderBy(a => a.AskedAt).Take(MostOfOne).ToListAsync(act.Cancellation);
            if (rows.Count == 0)
            {
                return Array.Empty<ApprovalView>();
            }

            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            return await ViewsAsync(act, rows, guild.DelayedReview);
        }, cancellation);

    private static async Task<ApprovalView[]> ViewsAsync(Act act, IReadOnlyList<Approval> rows, DelayedReview review)
    {
        Guid[] ids = [.. rows.Select(a => a.Id)];
        Guid[] people = [.. rows.Select(a => a.AskedById).Concat(rows.Select(a => a.DecidedById).OfType<Guid>()).Distinct()];
        Dictionary<Guid, string> names = await act.Db.People.Where(p => people.Contains(p.Id)).ToDictionaryAsync(p => p.Id, p => p.DisplayName, act.Cancellation);
        Dictionary<Guid, string> hrefs = await HrefsAsync(act, ids);
        Dictionary<Guid, IReadOnlyList<Phrase>> since = [];
        foreach (IGrouping<ApprovalKind, Approval> kind in rows.Where(a => a.State == ApprovalState.Waiting).GroupBy(a => a.Kind))
        {
            foreach ((Guid id, IReadOnlyList<Phrase> changes) in await ApprovedChanges.Of(kind.Key).SinceAsync(act, [.. kind]))
            {
                since[id] = changes;
            }
        }

        return [.. rows.Select(a => View(act, a, names, review) with { Href = hrefs.GetValueOrDefault(a.Id), Since = since.GetValueOrDefault(a.Id, []) })];
    }

    private static ApprovalView View(Act act, Approval a, Dictionary<Guid, string> names, DelayedReview review)
    {
        ApprovalDecider reader = new(act.By.Id, act.By.Role);
        bool mine = a.AskedById == act.By.Id;
        bool may = ApprovalRules.Approve(a.Asked, reader, review, act.Now).IsOk;
        IApprovedChange change = ApprovedChanges.Of(a.Kind);
        return new ApprovalView
        {
            Id = a.Id,
            Kind = a.Kind,
            State = a.State,
            Subject = a.Subject,
            Sentence = change.Sentence(a),
            Note = change.Note(a),
            AskedAt = a.AskedAt,
            AskedBy = names.GetValueOrDefault(a.AskedById, ""),
            DecidedAt = a.DecidedAt,
            DecidedBy = a.DecidedById is { } decider ? names.GetValueOrDefault(decider, "") : "",
            DecisionNote = a.DecisionNote,
            ReviewAfterHours = a.ReviewAfterHours,
            IsMine = mine,
            MayApprove = may,
            MayDecline = may && !mine,
            ReviewFrom = mine && review.IsOn && !may && ApprovalRights.MayDecide(a.Kind, a.AskedAs, act.By.Role) ? review.From(a.AskedAt) : null,
        };
    }

    /// <summary>A bag's gift, a bin, or the first of its lots.</summary>
    private static async Task<Dictionary<Guid, string>> HrefsAsync(Act act, Guid[] ids)
    {
        var rows = await act.Db.Approvals.Where(a => ids.Contains(a.Id)).Select(a => new
        {
            a.Id,
            Gift = act.Db.Bags.Where(b => b.Id == a.BagId).Select(b => (Guid?)b.DonationId).FirstOrDefault(),
            Bin = act.Db.Bins.Where(b => b.Id == a.BinId).Select(b => b.Code).FirstOrDefault(),
            Lot = act.Db.Lots.Where(l => a.Lots.Select(x => x.LotId).Contains(l.Id)).OrderBy(l => l.Id).Select(l => l.Code).FirstOrDefault(),
        }).ToListAsync(act.Cancellation);
        return rows.Where(r => r.Gift is not null || r.Bin is not null || r.Lot is not null)
            .ToDictionary(r => r.Id, r => r.Gift is { } gift ? $"/intake/{gift}" : r.Bin is { } bin ? $"/bins/{bin}" : $"/inventory/{r.Lot}");
    }
}
