using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>
/// Lots that a project may take, as far as a list can say it: by its rules all of them, and of thickness those that any of its pieces takes
/// in one strand or several alike. Two thinner strands in place of a thicker one, colours and amounts are a plan's to find.
/// </summary>
internal static class LotsForProject
{
    private static readonly string[] s_wool = [.. FibreTable.All.Where(fibre => fibre.IsWool).Select(fibre => fibre.Code)];
    private static readonly string[] s_animal = [.. FibreTable.All.Where(fibre => fibre.Kind == FibreKind.Animal).Select(fibre => fibre.Code)];
    private static readonly string[] s_metallic = [.. FibreTable.All.Where(fibre => fibre.Kind == FibreKind.Metallic).Select(fibre => fibre.Code)];

    /// <summary>None at all where there is no such project.</summary>
    public static async Task<IQueryable<Lot>> ApplyAsync(Act act, IQueryable<Lot> lots, Guid projectId)
    {
        Project? project = await act.Db.Projects.AsNoTracking().Include(p => p.Pieces).SingleOrDefaultAsync(p => p.Id == projectId, act.Cancellation);
        if (project is null)
        {
            return lots.Where(l => false);
        }

        Guid[] pieces = [.. project.Pieces.Select(w => w.PieceId).OfType<Guid>().Distinct()];
        List<PiecePart> parts = await act.Db.PieceParts.AsNoTracking().Where(p => pieces.Contains(p.PieceId)).ToListAsync(act.Cancellation);
        return Accepted(Thick(lots, parts), project.Rules);
    }

    /// <summary>The same as <see cref="RecipientRuleBook"/> says of one lot, asked of the database.</summary>
    private static IQueryable<Lot> Accepted(IQueryable<Lot> lots, RecipientRules rules)
    {
        bool Has(RecipientRules rule) => rules.HasFlag(rule);
        lots = Has(RecipientRules.WashableOnly) ? lots.Where(l => l.MachineWashable == Tristate.Yes) : lots;
        lots = Has(RecipientRules.NoWool) ? lots.Where(l => !l.FibreCodes.Any(code => s_wool.Contains(code))) : lots;
        lots = Has(RecipientRules.NoAnimalFibre) ? lots.Where(l => !l.FibreCodes.Any(code => s_animal.Contains(code))) : lots;
        lots = Has(RecipientRules.NoUnknownFibre) ? lots.Where(l => l.FibreCodes.Count > 0) : lots;
        lots = Has(RecipientRules.NoMetallic) ? lots.Where(l => l.Texture != Texture.Metallic && !l.FibreCodes.Any(code => s_metallic.Contains(code))) : lots;
        lots = Has(RecipientRules.SoftOnly) ? lots.Where(l => l.Softness != Softness.Scratchy) : lots;
        Conditions barred = (Has(RecipientRules.SmokeFree) ? Conditions.Smoke : 0) | (Has(RecipientRules.PetFree) ? Conditions.PetHair : 0)
            | (Has(RecipientRules.InfantOrHospital) ? Conditions.Mothball : 0) | (Has(RecipientRules.ScentFree) ? Conditions.Perfume | Conditions.Mothball | Conditions.Smoke : 0);
        return barred == Conditions.None ? lots : lots.Where(l => (l.Conditions & barred) == Conditions.None);
    }

    /// <summary>A project whose pieces nobody has said the yarn of takes every thickness.</summary>
    private static IQueryable<Lot> Thick(IQueryable<Lot> lots, List<PiecePart> parts)
    {
        if (parts.Count == 0)
        {
            return lots;
        }

        HashSet<WeightClass> taken = [.. parts.SelectMany(p => p.WeightClasses)];
        if (taken.Contains(WeightClass.Medium))
        {
            taken.UnionWith([WeightClass.Worsted, WeightClass.Aran]);
        }
        else if (taken.Contains(WeightClass.Worsted) && taken.Contains(WeightClass.Aran))
        {
            taken.Add(WeightClass.Medium);
        }

        WeightClass?[] classes = [.. taken.Select(each => (WeightClass?)each)];
        double[] lows = [.. parts.Where(IsByLength).Select(p => p.WindowLow!.Value)];
        double[] highs = [.. parts.Where(IsByLength).Select(p => p.WindowHigh!.Value)];
        double low = lows.Length == 0 ? 1 : lows.Min(), high = highs.Length == 0 ? 0 : highs.Max();
        return lots.Where(l => classes.Contains(l.WeightClass) || (l.MetresPer100gLikely >= low && l.MetresPer100gLikely <= high));
    }

    /// <summary>Its yarn is told by a length to 100 g alone.</summary>
    private static bool IsByLength(PiecePart part) => part is { WeightClasses.Count: 0, WindowLow: not null, WindowHigh: not null };
}
