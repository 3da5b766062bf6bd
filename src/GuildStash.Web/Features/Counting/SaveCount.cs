using GuildStash.Data.Counting;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>How the bin is weighed.</summary>
/// <param name="GrossGrams">What the scale shows for the whole bin; null while it was not weighed.</param>
public sealed record CountHow(CountWay Way, Guid? ScaleId, decimal? GrossGrams);

/// <summary>Keeps what the scale showed as one goes; nothing of it is in the books. Each time the count lasts on.</summary>
public sealed class SaveCount(GuildWork work)
{
    /// <summary>One lot's weighing.</summary>
    /// <param name="grams">0: it is not there. Null: it was not looked at after all.</param>
    public Task<Outcome<bool>> LotAsync(Guid by, Guid countId, string? lotCode, decimal? grams, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => LotAsync(act, countId, lotCode, grams), cancellation);

    /// <summary>The scale, and the whole bin's weighing.</summary>
    public Task<Outcome<bool>> HowAsync(Guid by, Guid countId, CountHow how, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => HowAsync(act, countId, how), cancellation);

    private static async Task<Outcome<bool>> LotAsync(Act act, Guid countId, string? lotCode, decimal? grams)
    {
        Check check = new();
        LotCode code = check.Take(LotCode.Parse(lotCode ?? ""));
        Mass found = grams is { } shown and not 0 ? check.Take(MassLimits.LotMass(shown)) : Mass.Zero;
        if (check.Failed)
        {
            return check.Refuse<bool>();
        }

        Outcome<BinCount> mine = await RunningCounts.MineAsync(act, countId);
        if (!mine.IsOk)
        {
            return Outcome<bool>.Refused(mine.Refusals);
        }

        BinCount count = mine.Value;
        Lot? lot = await act.Db.Lots.SingleOrDefaultAsync(l => l.Code == code.Value && l.BinId == count.BinId && l.ClosedAt == null && l.MassKnown, act.Cancellation);
        if (lot is null)
        {
            return Refusal.Invalid("grams", "Lot {0} is not in this bin by the books, or was never weighed. Put it here or weigh it first, then count.", code.Display);
        }

        BinCountLine? line = count.Lines.SingleOrDefault(l => l.LotId == lot.Id);
        if (grams is null && line is not null)
        {
            act.Db.BinCountLines.Remove(line);
        }
        else if (grams is not null)
        {
            if (line is null)
            {
                count.Lines.Add(line = new BinCountLine { CountId = count.Id, LotId = lot.Id });
            }

            line.FoundMg = found.Milligrams;
        }

        count.LapsesAt = CountRules.LapsesAt(act.Now);
        return true;
    }

    private static async Task<Outcome<bool>> HowAsync(Act act, Guid countId, CountHow how)
    {
        Check check = new();
        check.That(Enum.IsDefined(how.Way), "way", "Weigh the whole bin, or lot by lot.");
        Mass? gross = how.GrossGrams is { } grams ? check.Take(MassLimits.BagMass(grams)) : null;
        Scale? scale = await ScaleFinder.TakeAsync(act, how.ScaleId, check);
        if (check.Failed)
        {
            return check.Refuse<bool>();
        }

        Outcome<BinCount> mine = await RunningCounts.MineAsync(act, countId);
        if (!mine.IsOk)
        {
            return Outcome<bool>.Refused(mine.Refusals);
        }

        BinCount count = mine.Value;
        (count.Way, count.ScaleId, count.ScaleDivisionMg, count.GrossMg) = (how.Way, scale?.Id, scale?.DivisionMg, gross?.Milligrams);
        count.LapsesAt = CountRules.LapsesAt(act.Now);
        return true;
    }
}
