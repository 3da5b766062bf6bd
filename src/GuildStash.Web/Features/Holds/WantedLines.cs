using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Holds;

/// <summary>One wanted lot, held against what the lot and the project allow.</summary>
/// <param name="Lot">Null where the code names none.</param>
/// <param name="Mg">What the wish comes to; null where it was refused or where no amount was given yet.</param>
/// <param name="OldCode">The code that was asked for, without hyphen, where its lot went into this one; else null.</param>
internal sealed record WantedLine(Lot? Lot, long? Mg, IReadOnlyList<Refusal> Refusals, string? OldCode = null);

/// <summary>Works out what a request would promise. Each refusal names the field of its lot, so that it is shown beside it.</summary>
internal static class WantedLines
{
    /// <summary>With the lots locked until the act ends, so that what it says is still so when the holds are written.</summary>
    public static Task<List<WantedLine>> LockedAsync(Act act, IReadOnlyList<WantedYarn> yarn, Project? project) =>
        ReadAsync(act, yarn, project, amountsNeeded: true, ids => LotLock.TakeAsync(act.Db, ids, act.Cancellation));

    /// <summary>As the lots stand now; an amount may still be missing.</summary>
    public static Task<List<WantedLine>> PreviewAsync(Act act, IReadOnlyList<WantedYarn> yarn, Project? project) =>
        ReadAsync(act, yarn, project, amountsNeeded: false, ids => act.Db.Lots.Where(l => ids.Contains(l.Id)).ToListAsync(act.Cancellation));

    private static async Task<List<WantedLine>> ReadAsync(
        Act act, IReadOnlyList<WantedYarn> yarn, Project? project, bool amountsNeeded, Func<IReadOnlyList<Guid>, Task<List<Lot>>> read)
    {
        List<Outcome<LotCode>> codes = [.. yarn.Select(w => LotCode.Parse(w.LotCode))];
        IReadOnlyDictionary<string, string> followed = await LotSurvivor.CodesAsync(act, [.. codes.Where(c => c.IsOk).Select(c => c.Value.Value)]);
        string[] known = [.. codes.Where(c => c.IsOk).Select(c => followed.GetValueOrDefault(c.Value.Value, c.Value.Value)).Distinct()];
        List<Guid> ids = await act.Db.Lots.Where(l => known.Contains(l.Code)).Select(l => l.Id).ToListAsync(act.Cancellation);
        Dictionary<string, Lot> lots = (await read(ids)).ToDictionary(l => l.Code);
        Dictionary<Guid, long> promised = [];
        List<WantedLine> lines = [];
        for (int i = 0; i < yarn.Count; i++)
        {
            string prefix = RequestHolds.Prefix(yarn.Count, i);
            if (Find(codes[i], lots, followed, prefix, out Refusal? refusal) is not { } lot)
            {
                lines.Add(new WantedLine(null, null, [refusal!]));
                continue;
            }

            Outcome<long?> mg = Amount(lot, yarn[i], project, promised.GetValueOrDefault(lot.Id), prefix, amountsNeeded);
            lines.Add(new WantedLine(lot, mg.IsOk ? mg.Value : null, mg.Refusals, codes[i].Value.Value == lot.Code ? null : codes[i].Value.Value));
            promised[lot.Id] = promised.GetValueOrDefault(lot.Id) + (mg.IsOk ? mg.Value ?? 0 : 0);
        }

        return lines;
    }

    private static Lot? Find(Outcome<LotCode> code, Dictionary<string, Lot> lots, IReadOnlyDictionary<string, string> followed, string prefix, out Refusal? refusal)
    {
        Lot? lot = code.IsOk ? lots.GetValueOrDefault(followed.GetValueOrDefault(code.Value.Value, code.Value.Value)) : null;
        refusal = (lot, code.IsOk) switch
        {
            ({ }, _) => null,
            (_, true) => Refusal.NotFound("There is no lot {0}. Check the label.", code.Value.Display) with { Field = prefix + "lotCode" },
            _ => code.Refusal with { Field = prefix + "lotCode" },
        };
        return lot;
    }

    /// <summary>How many milligrams the wish comes to, or the rules that bar it.</summary>
    private static Outcome<long?> Amount(Lot lot, WantedYarn wanted, Project? project, long promisedBefore, string prefix, bool needed)
    {
        string code = LotCode.Parse(lot.Code).Value.Display;
        if (HoldRules.MayBePromised(lot, project, prefix + "lotCode") is { Count: > 0 } refusals)
        {
            return Outcome<long?>.Refused(refusals);
        }

        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg - promisedBefore;
        switch (wanted)
        {
            case { Grams: null, Metres: null } when !needed:
                return (long?)null;
            case { Grams: { } grams, Metres: null }:
                Outcome<Mass> mass = MassLimits.LotMass(grams, prefix + "grams");
                return !mass.IsOk
                    ? Outcome<long?>.Refused(mass.Refusals)
                    : mass.Value.Milligrams <= free ? mass.Value.Milligrams : NotEnough(prefix + "grams", code, grams, free);
            case { Grams: null, Metres: { } metres }:
                Outcome<long> mg = HoldRules.MgFor(lot, metres, free, code, prefix + "metres");
                return mg.IsOk ? mg.Value : Outcome<long?>.Refused(mg.Refusals);
            default:
                return Refusal.Invalid(prefix + "grams", "Say how much of lot {0} you want: either grams or metres.", code);
        }
    }

    private static Refusal NotEnough(string field, string code, decimal grams, long free) => HoldRules.Conflict(field, "not-enough-free",
        "{0} g of lot {1} were asked for, and {2} g are free. Ask for less, or choose a second lot.", grams, code, free / 1000m);
}
