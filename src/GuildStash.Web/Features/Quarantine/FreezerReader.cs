using GuildStash.Data.Guild;
using GuildStash.Data.Quarantine;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Quarantine;

/// <summary>A bag or a lot that may go into the freezer.</summary>
/// <param name="Since">Since when it is apart.</param>
public sealed record FreezerCandidate(Guid Id, bool IsBag, string Display, FibreConcern Concern, DateTimeOffset Since, long Mg);

/// <summary>A freezer run as pages show it.</summary>
public sealed record FreezerRunView
{
    public required Guid Id { get; init; }

    public required string Freezer { get; init; }

    public required DateTimeOffset InAt { get; init; }

    public required string StartedBy { get; init; }

    /// <summary>Bags and lots in it, as people read them.</summary>
    public required IReadOnlyList<string> Things { get; init; }

    public FreezerReadings? Readings { get; init; }

    public DateTimeOffset? FinishedAt { get; init; }

    public string FinishedBy { get; init; } = "";

    public string Result { get; init; } = "";

    public bool SignsSeen { get; init; }

    /// <summary>Null while it is in the freezer.</summary>
    public bool? MeetsProtocol { get; init; }

    /// <summary>Why it is below the protocol that it was judged by.</summary>
    public IReadOnlyList<Phrase> Why { get; init; } = [];

    public string ProtocolSource { get; init; } = "";
}

/// <param name="Candidates">What is in quarantine, may be frozen and is in no run; animal fibre, blends and unknown first, then the longest apart.</param>
public sealed record FreezerDesk(QuarantineProtocol Protocol, DateTimeOffset Now, IReadOnlyList<FreezerCandidate> Candidates, PageOf<FreezerRunView> Runs);

/// <summary>Reads freezer runs and what may be frozen next.</summary>
public sealed class FreezerReader(GuildWork work)
{
    /// <summary>Candidates of each kind, the longest apart.</summary>
    private const int MostCandidates = 100;

    public Task<Outcome<FreezerDesk>> RunAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<FreezerDesk>(by, Role.Volunteer, async act =>
        {
            if (page.Wrong() is { } wrong)
            {
                return wrong;
            }

            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            PageOf<FreezerRun> runs = await act.Db.FreezerRuns.Include(r => r.Loads).OrderByDescending(r => r.InAt).ThenBy(r => r.Id).PageAsync(page, act.Cancellation);
            return new FreezerDesk(guild.Protocol, act.Now, await CandidatesAsync(act), new PageOf<FreezerRunView>(await ViewsAsync(act, runs.Items), runs.Page, runs.PageSize, runs.Total));
        }, cancellation);

    private static async Task<IReadOnlyList<FreezerCandidate>> CandidatesAsync(Act act)
    {
        IQueryable<FreezerLoad> busy = act.Db.FreezerLoads.Where(l => l.Run.FinishedAt == null);
        const Conditions shut = Conditions.Mould | Conditions.Insects;
        var bags = await act.Db.Bags
            .Where(b => b.ClosedAt == null && b.QuarantineReason != null && (b.Conditions & shut) == Conditions.None && !busy.Any(l => l.BagId == b.Id))
            .OrderBy(b => b.QuarantinedAt).Take(MostCandidates)
            .Select(b => new { b.Id, Number = b.Donation.Number + "/" + b.Ordinal, Since = b.QuarantinedAt ?? b.Donation.CreatedAt, Mg = b.GrossMg - b.TareMg }).ToListAsync(act.Cancellation);
        Guid[] bagIds = [.. bags.Select(b => b.Id)];
        List<Lot> lots = await act.Db.Lots
            .Where(l => l.ClosedAt == null && l.QuarantineReason != null && (l.Conditions & shut) == Conditions.None && !bagIds.Contains(l.BagId) && !busy.Any(x => x.LotId == l.Id))
            .OrderBy(l => l.QuarantinedAt).Take(MostCandidates).ToListAsync(act.Cancellation);

        // Nobody has sorted a bag yet, so its fibre is unknown.
        return [.. bags.Select(b => new FreezerCandidate(b.Id, true, b.Number, FibreConcern.Unknown, b.Since, b.Mg))
            .Concat(lots.Select(l => new FreezerCandidate(l.Id, false, LotCode.Parse(l.Code).Value.Display, FibreConcerns.Of(LotTraitsOf.Fibres(l)), l.QuarantinedAt ?? l.CreatedAt, l.OnHandMg)))
            .OrderBy(c => c.Concern).ThenBy(c => c.Since)];
    }

    private static async Task<FreezerRunView[]> ViewsAsync(Act act, IReadOnlyList<FreezerRun> runs)
    {
        Guid[] bagIds = [.. runs.SelectMany(r => r.Loads).Select(l => l.BagId).OfType<Guid>()];
        Guid[] lotIds = [.. runs.SelectMany(r => r.Loads).Select(l => l.LotId).OfType<Guid>()];
        Guid[] people = [.. runs.Select(r => r.StartedById).Concat(runs.Select(r => r.FinishedById).OfType<Guid>()).Distinct()];
        Dictionary<Guid, string> bags = await act.Db.Bags.Where(b => bagIds.Contains(b.Id)).Select(b => new { b.Id, Number = b.Donation.Number + "/" + b.Ordinal }).ToDictionaryAsync(b => b.Id, b => b.Number, act.Cancellation);
        Dictionary<Guid, string> lots = await act.Db.Lots.Where(l => lotIds.Contains(l.Id)).ToDictionaryAsync(l => l.Id, l => l.Code, act.Cancellation);
        Dictionary<Guid, string> names = await act.Db.People.Where(p => people.Contains(p.Id)).ToDictionaryAsync(p => p.Id, p => p.DisplayName, act.Cancellation);
        return [.. runs.Select(r => new FreezerRunView
        {
            Id = r.Id,
            Freezer = r.Freezer,
            InAt = r.InAt,
            StartedBy = names.GetValueOrDefault(r.StartedById, ""),
            Things = [.. r.Loads.Select(l => l.BagId is { } bag ? bags[bag] : LotCode.Parse(lots[l.LotId!.Value]).Value.Display).Order(StringComparer.Ordinal)],
            Readings = r.Readings,
            FinishedAt = r.FinishedAt,
            FinishedBy = r.FinishedById is { } finisher ? names.GetValueOrDefault(finisher, "") : "",
            Result = r.Result,
            SignsSeen = r.SignsSeen,
            MeetsProtocol = r.MeetsProtocol,
            ProtocolSource = r.ProtocolSource,
            Why = r is { MeetsProtocol: false, Readings: { } readings }
                ? FreezerRules.Judge(new QuarantineProtocol(r.ProtocolMaxCelsius!.Value, r.ProtocolDays!.Value, 1, r.ProtocolSource, QuarantineProtocol.LeastApartDays), readings).Why
                : [],
        })];
    }
}
