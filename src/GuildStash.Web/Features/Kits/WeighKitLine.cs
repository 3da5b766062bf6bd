using GuildStash.Data.Counting;
using GuildStash.Data.Guild;
using GuildStash.Data.Projects;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <param name="ShortMetres">Metres by which the line may fall short of what was planned; null where scale and plan agree.</param>
/// <param name="IsPacked">It was the last line: the kit is packed.</param>
public sealed record WeighedLine(long Mg, double? ShortMetres, bool IsPacked);

/// <summary>
/// Weighs out a line of a kit: its hold becomes what the scale shows, within what is free of the lot, under the lot's lock. The kit is
/// packed when all of it is weighed.
/// </summary>
public sealed class WeighKitLine(GuildWork work)
{
    /// <param name="scaleId">The scale of the register that it was weighed on; null where that is not known.</param>
    public Task<Outcome<WeighedLine>> RunAsync(Guid by, Guid lineId, decimal? grams, Guid? scaleId, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => WeighAsync(act, lineId, grams, scaleId), cancellation);

    private static async Task<Outcome<WeighedLine>> WeighAsync(Act act, Guid lineId, decimal? grams, Guid? scaleId)
    {
        Check check = new();
        check.That(grams is not null, "grams", "Enter the grams that the scale shows.");
        Mass mass = grams is { } shown ? check.Take(MassLimits.LotMass(shown)) : default;
        Scale? scale = await ScaleFinder.TakeAsync(act, scaleId, check);
        if (check.Failed)
        {
            return check.Refuse<WeighedLine>();
        }

        Outcome<(Kit Kit, KitLine Line)> found = await KitFinder.LineAsync(act, lineId);
        if (!found.IsOk)
        {
            return Outcome<WeighedLine>.Refused(found.Refusals);
        }

        (Kit kit, KitLine line) = found.Value;
        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        if ((KitFinder.Gone(kit, line) ?? TooMuch(line, mass.Milligrams, scale, guild)) is { } refusal)
        {
            return refusal;
        }

        line.Hold.Mg = Promised(line, mass.Milligrams, guild);
        (line.WeighedMg, line.ScaleDivisionMg, line.WeighedAt, line.WeighedById) = (mass.Milligrams, scale?.DivisionMg, act.Now, act.By.Id);
        line.PickedAt ??= act.Now;
        line.PickedById ??= act.By.Id;
        bool packed = kit.Lines.All(l => l.WeighedMg is not null);
        kit.PackedAt = packed ? act.Now : null;
        kit.PackedById = packed ? act.By.Id : null;
        kit.Version++;
        return new WeighedLine(mass.Milligrams, Short(line.PlannedMg, line.Metres, mass.Milligrams, scale?.DivisionMg), packed);
    }

    /// <summary>
    /// Metres that are missing against the plan. Net masses on a scale of division d are sure to ±d, so a difference within it is none.
    /// </summary>
    public static double? Short(long plannedMg, double metres, long weighedMg, long? divisionMg) =>
        plannedMg - weighedMg > (divisionMg ?? 0) && metres > 0 ? metres * (plannedMg - weighedMg) / plannedMg : null;

    /// <summary>
    /// What is not free can't be promised. A little more than the books have, as far as weighing explains it, is no more yarn: of a whole
    /// lot the difference is booked when it is handed over; beside others' holds it is the scale's rounding.
    /// </summary>
    private static Refusal? TooMuch(KitLine line, long mg, Scale? scale, GuildSettings guild)
    {
        long besides = KitFinder.Besides(line);
        long slack = KitFinder.Others(line) > 0 ? scale?.DivisionMg ?? 0 : WeighingTolerance.Of(line.Hold.Lot, guild, besides);
        return mg <= besides + slack
            ? null
            : HoldRules.Conflict("grams", "not-enough-free", "{0} g were weighed, and {1} g of lot {2} are free for this kit. Put the rest back.",
                mg / 1000m, besides / 1000m, LotCode.Parse(line.Hold.Lot.Code).Value.Display);
    }

    /// <summary>The hold's new mass. Where all of the lot goes into the kit it stays all of it, so that nothing is left over on paper.</summary>
    private static long Promised(KitLine line, long mg, GuildSettings guild)
    {
        long besides = KitFinder.Besides(line);
        bool isWhole = KitFinder.Others(line) == 0 && line.Hold.Mg == besides && Math.Abs(mg - besides) <= WeighingTolerance.Of(line.Hold.Lot, guild, besides);
        return isWhole ? besides : Math.Min(mg, besides);
    }
}

/// <summary>Takes a weighing back: the line holds again what was planned, as far as that is free.</summary>
public sealed class UnweighKitLine(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid lineId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            Outcome<(Kit Kit, KitLine Line)> found = await KitFinder.LineAsync(act, lineId);
            if (!found.IsOk)
            {
                return Outcome<bool>.Refused(found.Refusals);
            }

            (Kit kit, KitLine line) = found.Value;
            if (KitFinder.Gone(kit, line) is { } gone)
            {
                return gone;
            }

            line.Hold.Mg = Math.Min(line.PlannedMg, KitFinder.Besides(line));
            (line.WeighedMg, line.ScaleDivisionMg, line.WeighedAt, line.WeighedById) = (null, null, null, null);
            (kit.PackedAt, kit.PackedById) = (null, null);
            kit.Version++;
            return true;
        }, cancellation);
}

/// <summary>Ticks a line on the pick list, or takes the tick away: the yarn lies on the table, or does not.</summary>
public sealed class PickKitLine(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid lineId, bool picked, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act =>
        {
            KitLine? line = await act.Db.KitLines.SingleOrDefaultAsync(l => l.Id == lineId, act.Cancellation);
            if (line is null)
            {
                return Refusal.NotFound("There is no such line of a kit any more. Reload the page.");
            }

            line.PickedAt = picked ? line.PickedAt ?? act.Now : null;
            line.PickedById = picked ? line.PickedById ?? act.By.Id : null;
            return true;
        }, cancellation);
}
