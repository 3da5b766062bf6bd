using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Bins;

/// <summary>Finds bins by what people type or scan, with a sentence for each way in which that can fail.</summary>
public static class BinFinder
{
    /// <summary>The open bin of that code, of whatever kind.</summary>
    public static async Task<Outcome<Bin>> ByCodeAsync(Act act, string? typed, string field)
    {
        Outcome<BinCode> code = BinCode.Parse(typed ?? "");
        if (!code.IsOk)
        {
            return code.Refusal with { Field = field };
        }

        string value = code.Value.Value;
        // Held until the transaction ends, so that nobody closes the bin while yarn is on its way into it.
        Bin? bin = await act.Db.Bins.FromSql($"select * from bin where code = {value} for key share").SingleOrDefaultAsync(act.Cancellation);
        if (bin is null)
        {
            return Refusal.Invalid(field, "There is no bin {0}. Check the label, or make the bin first.", code.Value.Display);
        }

        return bin.ClosedAt is null ? bin : Refusal.Invalid(field, "Bin {0} is closed. Choose another.", code.Value.Display);
    }

    /// <summary>An open bin for free yarn; the sorting table when no code is given.</summary>
    public static Task<Outcome<Bin>> OpenShelfAsync(Act act, string? typed, string field) => ForAsync(act, typed, field, quarantine: false);

    /// <summary>A quarantine bin; the first one when no code is given.</summary>
    public static Task<Outcome<Bin>> QuarantineAsync(Act act, string? typed, string field) => ForAsync(act, typed, field, quarantine: true);

    public static async Task<Outcome<Bin>> ForAsync(Act act, string? typed, string field, bool quarantine)
    {
        if (string.IsNullOrWhiteSpace(typed))
        {
            BinKind kind = quarantine ? BinKind.Quarantine : BinKind.SortingTable;
            Bin? first = await act.Db.Bins.Where(b => b.Kind == kind && b.ClosedAt == null).OrderBy(b => b.CreatedAt).ThenBy(b => b.Code).FirstOrDefaultAsync(act.Cancellation);
            return first is not null ? first : Refusal.Invalid(field, quarantine ? "There is no quarantine bin yet. Make one first." : "There is no sorting table. Name a bin.");
        }

        Outcome<Bin> found = await ByCodeAsync(act, typed, field);
        if (!found.IsOk || found.Value.IsQuarantine == quarantine)
        {
            return found;
        }

        string display = BinCode.Parse(found.Value.Code).Value.Display;
        return quarantine
            ? new Refusal("quarantine-bin-only", RefusalKind.Conflict, new Phrase("Bin {0} is no quarantine bin. This yarn is in quarantine and lies in quarantine bins only.", display), field)
            : new Refusal("quarantine-bin-only", RefusalKind.Conflict, new Phrase("Bin {0} is a quarantine bin. Yarn that is free can't lie there.", display), field);
    }
}
