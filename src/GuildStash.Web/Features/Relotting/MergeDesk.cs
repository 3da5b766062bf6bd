using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Relotting;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <summary>Lots that are to become one, as the rules look at them.</summary>
/// <param name="Lots">The lot that is left comes first.</param>
internal sealed record MergeTable(IReadOnlyList<Lot> Lots, IReadOnlyList<MergeLot> Seen)
{
    public Lot Left => Lots[0];
}

/// <summary>Reads the lots of a merge, and writes to the lot that is left what they are together.</summary>
internal static class MergeDesk
{
    private const int LongestNotes = 2000;
    private const int LongestCare = 500;

    /// <summary>The codes as they were typed: the lot that is left first, each once.</summary>
    public static Outcome<IReadOnlyList<string>> Codes(IReadOnlyList<string> typed, string? left)
    {
        Check check = new();
        List<string> codes = [];
        foreach (string code in new[] { left ?? "" }.Concat(typed.Take(2 * MergeRules.MostLots)))
        {
            codes.Add(check.Take(LotCode.Parse(code)).Value);
        }

        string[] distinct = [.. codes.Distinct()];
        check.That(distinct.Length is >= MergeRules.FewestLots and <= MergeRules.MostLots, "lotCodes", "{0} to {1} different lots can become one; {2} were named.", MergeRules.FewestLots, MergeRules.MostLots, distinct.Length);
        return check.Failed ? check.Refuse<IReadOnlyList<string>>() : distinct;
    }

    /// <param name="codes">Codes without hyphen, the lot that is left first.</param>
    /// <param name="locked">Takes the lots out of everybody else's hands.</param>
    /// <param name="approvalId">The request that is being carried out; it does not count as something else that waits.</param>
    public static async Task<Outcome<MergeTable>> ReadAsync(Act act, IReadOnlyList<string> codes, bool locked, Guid? approvalId = null)
    {
        string[] wanted = [.. codes];
        List<Lot> found = await act.Db.Lots.AsNoTracking().Include(l => l.Bin).Where(l => wanted.Contains(l.Code)).ToListAsync(act.Cancellation);
        if (locked)
        {
            found = await LotLock.TakeAsync(act.Db, [.. found.Select(l => l.Id)], act.Cancellation);
        }

        if (codes.FirstOrDefault(code => found.All(l => l.Code != code)) is { } missing)
        {
            return Refusal.Invalid("lotCodes", "There is no lot {0}. Check the label.", LotCode.Parse(missing).Value.Display);
        }

        Lot[] lots = [.. codes.Select(code => found.Single(l => l.Code == code))];
        Guid[] ids = [.. lots.Select(l => l.Id)];
        IReadOnlyDictionary<Guid, long> inBin = await LotPlace.InOwnBinMgAsync(act, lots);
        var around = await act.Db.Lots.AsNoTracking().Where(l => ids.Contains(l.Id)).Select(l => new
        {
            l.Id,
            l.Donation.Wishes,
            Returns = act.Db.LotReturns.Any(r => r.LotId == l.Id && r.SettledAt == null),
            Waits = l.Approvals.Any(a => a.Approval.State == ApprovalState.Waiting && a.ApprovalId != approvalId),
        }).ToDictionaryAsync(l => l.Id, act.Cancellation);
        return new MergeTable(lots, [.. lots.Select(lot => new MergeLot
        {
            Code = LotCode.Parse(lot.Code).Value.Display,
            OnHandMg = lot.OnHandMg,
            InBinMg = inBin[lot.Id],
            IsClosed = lot.ClosedAt is not null,
            IsWeighed = lot.MassKnown,
            IsInQuarantine = lot.QuarantineReason is not null,
            HasReturnsWaiting = around[lot.Id].Returns,
            AwaitsSecondPerson = around[lot.Id].Waits,
            Wishes = around[lot.Id].Wishes,
            Traits = TraitsOf(lot, act.Yardage),
        })]);
    }

    /// <summary>Writes what the lots are together to the one that is left, and computes its figures.</summary>
    public static void Write(MergeTable table, MergeTraits merged, YardageRules rules)
    {
        Lot left = table.Left;
        int from = table.Seen.ToList().FindIndex(l => ReferenceEquals(l.Traits.Evidence, merged.Evidence));
        left.Notes = Short(Noted(table, merged), LongestNotes);
        left.CareNotes = Short(string.Join("\n", table.Lots.Select(l => l.CareNotes.Trim()).Where(n => n.Length > 0).Distinct()), LongestCare);
        left.FibreCodes = [.. merged.Fibres.Shares.Select(s => s.Code)];
        left.FibrePercents = [.. merged.Fibres.Shares.Where(s => s.Percent is not null).Select(s => s.Percent!.Value)];
        left.FibreBasis = merged.FibreBasis;
        left.ColourFamily = merged.ColourFamily;
        left.ColourHex = merged.ColourHex;
        left.Multicolour = merged.Multicolour;
        left.DyeLot = merged.DyeLot;
        left.MachineWashable = merged.MachineWashable;
        left.Softness = merged.Softness;
        left.Conditions = merged.Conditions;
        left.Count = Math.Min(merged.Count, LotFields.MostBalls);
        left.YarnCount = from >= 0 ? table.Lots[from].YarnCount : "";
        left.CountIsResultant = from >= 0 && table.Lots[from].CountIsResultant;
        left.NamedMetresPer100g = from >= 0 ? table.Lots[from].NamedMetresPer100g : null;
        left.MaxCelsius = table.Lots.All(l => l.MaxCelsius is not null) ? table.Lots.Min(l => l.MaxCelsius) : null;
        (long OnHandMg, SealedState State)[] balls = [.. table.Lots.Zip(table.Seen, (lot, seen) => (seen.OnHandMg, SealedInLot.State(lot)))];
        LotFields.Record(left, merged.Evidence);
        SealedInLot.Together(left, balls);
        left.ScaleDivisionMg = merged.ScaleDivisionMg;
        LotFields.Compute(left, rules);
    }

    private static MergeTraits TraitsOf(Lot lot, YardageRules rules) => new()
    {
        Fibres = LotTraitsOf.Fibres(lot),
        FibreBasis = lot.FibreBasis,
        ColourFamily = lot.ColourFamily,
        ColourHex = lot.ColourHex,
        Multicolour = lot.Multicolour,
        DyeLot = lot.DyeLot,
        MachineWashable = lot.MachineWashable,
        Softness = lot.Softness,
        Conditions = lot.Conditions,
        PutUp = lot.PutUp,
        Count = lot.Count,
        Evidence = LotTraitsOf.Evidence(lot),
        Estimate = rules.Estimate(LotTraitsOf.Evidence(lot)),
        ScaleDivisionMg = lot.ScaleDivisionMg,
    };

    /// <summary>All notes, and of each lot its dye lot and its donor's wishes where these differ.</summary>
    private static string Noted(MergeTable table, MergeTraits merged)
    {
        bool dyes = table.Seen.Any(l => l.Traits.DyeLot.Length > 0) && merged.DyeLot.Length == 0;
        bool wishes = table.Seen.Select(l => l.Wishes.Trim()).Distinct().Count() > 1;
        IEnumerable<string> lines = table.Lots.Select(l => l.Notes.Trim())
            .Concat(dyes ? table.Seen.Where(l => l.Traits.DyeLot.Length > 0).Select(l => $"{l.Code}: {l.Traits.DyeLot}") : [])
            .Concat(wishes ? table.Seen.Where(l => l.Wishes.Trim().Length > 0).Select(l => $"{l.Code}: {l.Wishes.Trim()}") : []);
        return string.Join("\n", lines.Where(line => line.Length > 0).Distinct());
    }

    private static string Short(string text, int longest) => text.Length <= longest ? text : text[..(longest - 1)] + "…";
}
