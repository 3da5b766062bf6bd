using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Holds;

/// <summary>What a request would promise of one lot as things stand.</summary>
/// <param name="Lot">Null where the code names none.</param>
/// <param name="Mg">Null where the wish is refused or no amount was given yet.</param>
/// <param name="MetresLow">Length that surely is in the promised mass, metres.</param>
/// <param name="OldCode">The code that was asked for, without hyphen, where its lot went into this one; else null.</param>
public sealed record PreviewedLot(LotView? Lot, long? Mg, double? MetresLow, IReadOnlyList<Refusal> Refusals, string? OldCode = null);

/// <param name="Lots">In the order of the wishes.</param>
/// <param name="HoldDays">The guild's days until a hold lapses.</param>
/// <param name="Project">What is wrong with the project itself, if anything.</param>
public sealed record PreviewedRequest(IReadOnlyList<PreviewedLot> Lots, int HoldDays, Refusal? Project);

/// <summary>Shows while a request is filled in what it would promise and which rule bars a lot. It promises nothing.</summary>
public sealed class HoldPreview(GuildWork work)
{
    public Task<Outcome<PreviewedRequest>> RunAsync(Guid by, IReadOnlyList<WantedYarn> yarn, Guid? projectId, CancellationToken cancellation) =>
        work.ReadAsync<PreviewedRequest>(by, Role.Member, async act =>
        {
            if (yarn.Count > RequestHolds.MostLots)
            {
                return Refusal.Invalid("lots", "A request has 1 to {0} lots; {1} were given.", RequestHolds.MostLots, yarn.Count);
            }

            Outcome<Project>? project = projectId is { } id ? await OpenProject.FindAsync(act, id) : (Outcome<Project>?)null;
            List<WantedLine> lines = await WantedLines.PreviewAsync(act, yarn, project is { IsOk: true } open ? open.Value : null);
            Guid[] ids = [.. lines.Where(l => l.Lot is not null).Select(l => l.Lot!.Id).Distinct()];
            Dictionary<Guid, LotView> views = (await LotViews.Rows(act.Db.Lots.Where(l => ids.Contains(l.Id))).ToListAsync(act.Cancellation)).ToDictionary(r => r.Lot.Id, r => LotViews.From(r, act.Yardage));
            int days = await act.Db.Guilds.Select(g => g.HoldDays).SingleAsync(act.Cancellation);
            return new PreviewedRequest(
                lines.ConvertAll(l => new PreviewedLot(
                    l.Lot is null ? null : views[l.Lot.Id], l.Mg, l is { Lot: { } lot, Mg: { } mg } ? LotTraitsOf.LengthOf(lot, mg)?.Low.Metres : null, l.Refusals, l.OldCode)),
                days, project is { IsOk: false } closed ? closed.Refusal : null);
        }, cancellation);
}
