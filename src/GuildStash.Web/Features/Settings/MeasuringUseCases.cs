using GuildStash.Data.Guild;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Measuring;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Settings;

/// <summary>A lot that teaches, as a point: its wraps per inch, and metres in 100 g by its band or sample.</summary>
public sealed record LearntPoint(string Code, double WrapsPerInch, double MetresPer100Grams)
{
    /// <summary>The code in groups, for people.</summary>
    public string Display => LotCode.Parse(Code).Value.Display;
}

/// <summary>What the lots of one group of fibres have taught.</summary>
/// <param name="Points">The lots, newest last, as many as a picture can show.</param>
public sealed record LearntGroup(FibreGroup Group, LearntLine Line, WrapsLaw Law, IReadOnlyList<LearntPoint> Points);

/// <summary>How the guild tells length beside its table, and what its room has learnt.</summary>
/// <param name="Version">To be handed back when saving, so that two coordinators don't overwrite each other.</param>
/// <param name="Learning">What the lots teach, whether it is used or not.</param>
public sealed record MeasuringView(
    int Version, bool UseLearnt, bool LearntForNames, DateTimeOffset? LearnSince, YardageRules Rules, YardageLearning Learning, IReadOnlyList<LearntGroup> Groups);

/// <summary>Reads what the room has learnt from its lots, and the settings beside it.</summary>
public sealed class MeasuringReader(GuildWork work)
{
    public const int MostPoints = 400;

    public Task<Outcome<MeasuringView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<MeasuringView>(by, Role.Coordinator, async act =>
        {
            YardageSettings settings = await act.Db.Yardage.SingleAsync(act.Cancellation);
            List<Lot> lots = await RoomLearning.Teachers(act.Db, settings.LearnSince).OrderBy(l => l.Id).ToListAsync(act.Cancellation);
            YarnEvidence[] evidence = [.. lots.Select(LotTraitsOf.Evidence)];
            WeightClassTable table = act.Yardage.Table;
            YardageLearning learning = YardageLearning.From(evidence, table);
            ILookup<FibreGroup, LearntPoint> points = lots.Zip(evidence).ToLookup(each => each.Second.FibreGroup, each => Point(each.First, each.Second));
            return new MeasuringView(
                settings.Version, settings.UseLearnt, settings.LearntForNames, settings.LearnSince, act.Yardage, learning,
                [.. Enum.GetValues<FibreGroup>().Select(group => new LearntGroup(group, learning.Line(group), learning.Law(group, table), [.. points[group].TakeLast(MostPoints)]))]);
        }, cancellation);

    private static LearntPoint Point(Lot lot, YarnEvidence evidence) => new(
        lot.Code,
        evidence.Wraps!.PerInch,
        evidence.Sample is { } sample ? sample.Density.MetresPer100Grams : evidence.Band!.Density.MetresPer100Grams);
}

/// <summary>Decides whether lengths follow what the room has learnt; the lots follow in <see cref="RecomputeJob"/>.</summary>
public sealed class SaveLearning(GuildWork work)
{
    /// <param name="version">The version the person saw.</param>
    /// <param name="use">Whether what was learnt is used.</param>
    /// <param name="forNames">Whether it moves a class that was only named too.</param>
    /// <returns>The new version.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int version, bool use, bool forNames, CancellationToken cancellation) =>
        YardageChange.RunAsync(work, by, version, async (act, settings) =>
        {
            (settings.UseLearnt, settings.LearntForNames) = (use, use && forNames);
            await RoomLearning.LearnIntoAsync(act.Db, settings, act.Yardage.Table, act.Cancellation);
            return [];
        }, cancellation);
}

/// <summary>Forgets what the room has learnt so far, or remembers it again: no lot is changed by it, so nothing is lost.</summary>
public sealed class ResetLearning(GuildWork work)
{
    /// <param name="version">The version the person saw.</param>
    /// <param name="forget">True: only lots logged from now on teach. False: all lots teach again.</param>
    /// <returns>The new version.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int version, bool forget, CancellationToken cancellation) =>
        YardageChange.RunAsync(work, by, version, async (act, settings) =>
        {
            settings.LearnSince = forget ? act.Now : null;
            await RoomLearning.LearnIntoAsync(act.Db, settings, act.Yardage.Table, act.Cancellation);
            return [];
        }, cancellation);
}

/// <summary>Changes which strands stand in for a thicker yarn; no lot's figures hang on it.</summary>
public sealed class SaveStrands(GuildWork work)
{
    /// <returns>The new version.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int version, IReadOnlyList<StrandSubstitute> rules, CancellationToken cancellation) =>
        YardageChange.RunAsync(work, by, version, (_, settings) =>
        {
            Outcome<StrandSubstitutes> checkedRules = StrandSubstitutes.Create(rules);
            if (checkedRules.IsOk)
            {
                settings.Strands = [.. rules.Select(GuildYardage.Stored)];
            }

            return Task.FromResult(checkedRules.Refusals);
        }, cancellation);
}

/// <summary>Changes the regains of the room; all lots whose fibres are known follow in <see cref="RecomputeJob"/>.</summary>
public sealed class SaveMoisture(GuildWork work)
{
    /// <returns>The new version.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int version, decimal? animal, decimal? plant, decimal? synthetic, CancellationToken cancellation) =>
        YardageChange.RunAsync(work, by, version, (_, settings) =>
        {
            Outcome<RoomRegains> regains = RoomRegains.Create((double?)animal, (double?)plant, (double?)synthetic);
            if (regains.IsOk)
            {
                (settings.AnimalRegain, settings.PlantRegain, settings.SyntheticRegain) = (animal, plant, synthetic);
                settings.Edition++;
            }

            return Task.FromResult(regains.Refusals);
        }, cancellation);
}

/// <summary>
/// Changes what lots have in common when their lengths are added up: the part of a class's error that they share, which all lots follow in
/// <see cref="RecomputeJob"/>, and the error of the scale that all of them were weighed on.
/// </summary>
public sealed class SaveTotals(GuildWork work)
{
    /// <param name="version">The version the person saw.</param>
    /// <param name="sharedPart">0 to 1.</param>
    /// <param name="scaleErrorPercent">A standard deviation in %, 0 to 10.</param>
    /// <returns>The new version.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int version, decimal sharedPart, decimal scaleErrorPercent, CancellationToken cancellation) =>
        YardageChange.RunAsync(work, by, version, (_, settings) =>
        {
            Outcome<TotalSettings> totals = TotalFields.Read(sharedPart, scaleErrorPercent);
            if (totals.IsOk)
            {
                settings.Edition += settings.SharedPart == sharedPart ? 0 : 1;
                (settings.SharedPart, settings.ScaleErrorPercent) = (sharedPart, scaleErrorPercent);
            }

            return Task.FromResult(totals.Refusals);
        }, cancellation);
}
