using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Settings;

/// <summary>A lot that a table would tell otherwise; lengths are what is surely there, in metres, null without a mass or a length.</summary>
public sealed record LotChange(string Code, WeightClass? ClassBefore, WeightClass? ClassAfter, double? MetresBefore, double? MetresAfter)
{
    public bool IsReclassified => ClassBefore != ClassAfter;

    /// <summary>The code in groups, for people.</summary>
    public string Display => LotCode.Parse(Code).Value.Display;
}

/// <summary>What a table would change.</summary>
/// <param name="Lots">How many lots are in the room.</param>
/// <param name="Reclassified">How many get another class.</param>
/// <param name="OnlyLength">How many keep their class and get another length.</param>
/// <param name="First">Those of another class, as many as fit on a screen.</param>
public sealed record TablePreview(int Lots, int Reclassified, int OnlyLength, IReadOnlyList<LotChange> First);

/// <summary>Tells what a table of weight classes would do to the lots in the room, without changing anything.</summary>
public sealed class PreviewWeightClasses(GuildWork work)
{
    public const int MostShown = 20;

    /// <summary>Two lengths that differ by less are the same, but for binary arithmetic.</summary>
    private const double Same = 1e-6;

    private const int AtATime = 500;

    public async Task<Outcome<TablePreview>> RunAsync(Guid by, WeightClassTableInput input, CancellationToken cancellation)
    {
        int reclassified = 0, onlyLength = 0;
        List<LotChange> first = [];
        Outcome<int> lots = await EachAsync(by, input, change =>
        {
            (reclassified, onlyLength) = change.IsReclassified ? (reclassified + 1, onlyLength) : (reclassified, onlyLength + 1);
            if (change.IsReclassified && first.Count < MostShown)
            {
                first.Add(change);
            }

            return ValueTask.CompletedTask;
        }, cancellation);
        return lots.IsOk ? new TablePreview(lots.Value, reclassified, onlyLength, first) : Outcome<TablePreview>.Refused(lots.Refusals);
    }

    /// <summary>Hands on each lot that would change, in the order in which they were logged.</summary>
    /// <returns>How many lots were looked at.</returns>
    public Task<Outcome<int>> EachAsync(Guid by, WeightClassTableInput input, Func<LotChange, ValueTask> each, CancellationToken cancellation) =>
        work.ReadAsync<int>(by, Role.Coordinator, async act =>
        {
            Outcome<WeightClassTable> table = input.Read();
            if (!table.IsOk)
            {
                return Outcome<int>.Refused(table.Refusals);
            }

            YardageRules after = await WithTableAsync(act, table.Value);
            int looked = 0;
            Guid from = Guid.Empty;
            while (true)
            {
                Guid last = from;
                List<Lot> lots = await act.Db.Lots.Where(l => l.ClosedAt == null && l.Id > last).OrderBy(l => l.Id).Take(AtATime).ToListAsync(act.Cancellation);
                foreach (LotChange change in Changes(lots, act.Yardage, after))
                {
                    await each(change);
                }

                looked += lots.Count;
                if (lots.Count < AtATime)
                {
                    return looked;
                }

                from = lots[^1].Id;
            }
        }, cancellation);

    /// <summary>The rules as they would be: what was learnt is learnt anew, since it belongs to the table it was learnt with.</summary>
    private static async Task<YardageRules> WithTableAsync(Act act, WeightClassTable table)
    {
        var settings = await act.Db.Yardage.Select(y => new { y.UseLearnt, y.LearnSince }).SingleAsync(act.Cancellation);
        return act.Yardage with
        {
            Table = table,
            Learning = settings.UseLearnt ? await RoomLearning.LearnAsync(act.Db, table, settings.LearnSince, act.Cancellation) : YardageLearning.Nothing,
        };
    }

    private static IEnumerable<LotChange> Changes(List<Lot> lots, YardageRules before, YardageRules after)
    {
        YarnEvidence[] evidence = [.. lots.Select(LotTraitsOf.Evidence)];
        Dictionary<int, Reclassified> classes = Reclassification.Of(evidence, before, after).ToDictionary(each => each.Index);
        for (int i = 0; i < lots.Count; i++)
        {
            Lot lot = lots[i];
            YardageEstimate? then = after.Estimate(evidence[i]);
            bool isLonger = Math.Abs((before.Estimate(evidence[i])?.Low.MetresPer100Grams ?? 0) - (then?.Low.MetresPer100Grams ?? 0)) > Same;
            if (isLonger || classes.ContainsKey(i))
            {
                (WeightClass? was, WeightClass? will) = classes.TryGetValue(i, out Reclassified change) ? (change.Before, change.After) : (lot.WeightClass, lot.WeightClass);
                yield return new(lot.Code, was, will, Low(LotTraitsOf.Stored(lot), lot), Low(then, lot));
            }
        }
    }

    private static double? Low(YardageEstimate? estimate, Lot lot) => lot.MassKnown ? LotTraitsOf.LengthOf(estimate, lot, lot.OnHandMg)?.Low.Metres : null;
}
