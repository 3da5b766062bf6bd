using System.Globalization;
using System.Threading.Channels;
using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>
/// How the running guild tells length: its table, what its room has learnt, its rules for strands. Kept in memory; every act compares
/// the stamp, so that no node writes by rules that another one changed, and <see cref="Display.GuildDefaultsJob"/> reads each minute
/// what pages show that ask nothing of the database.
/// </summary>
public sealed class GuildYardage
{
    private const int SumsPerGroup = 7;

    private readonly Channel<bool> _work = Channel.CreateBounded<bool>(new BoundedChannelOptions(1) { FullMode = BoundedChannelFullMode.DropWrite });

    private volatile Kept _kept = new(YardageRules.Standard, null);

    /// <summary>For the calls of the API that know no guild: the standard table, whatever the guild changed.</summary>
    public static YardageRules Stateless => YardageRules.Standard;

    public YardageRules Now => _kept.Rules;

    /// <summary>Tells <see cref="Features.Sorting.RecomputeJob"/> that lots or rules changed.</summary>
    public void Wake() => _work.Writer.TryWrite(true);

    /// <summary>Until somebody wakes the job.</summary>
    public async Task AwakeAsync(CancellationToken cancellation) => await _work.Reader.ReadAsync(cancellation);

    /// <summary>The rules of that stamp, read anew where another one is kept.</summary>
    public async Task<YardageRules> AtAsync(GuildDbContext db, long? stamp, CancellationToken cancellation) =>
        _kept is { } kept && kept.Stamp == stamp ? kept.Rules : await ReadAsync(db, cancellation);

    public async Task<YardageRules> ReadAsync(GuildDbContext db, CancellationToken cancellation)
    {
        YardageSettings? settings = await db.Yardage.AsNoTracking().SingleOrDefaultAsync(cancellation);
        WeightClassTable table = await TableAsync(db, cancellation);
        YardageRules rules = settings is null ? YardageRules.Standard : RulesOf(settings, table);
        _kept = new(rules, settings?.Stamp);
        return rules;
    }

    /// <summary>The table in force.</summary>
    public static async Task<WeightClassTable> TableAsync(GuildDbContext db, CancellationToken cancellation) =>
        await db.WeightClassTables.AsNoTracking().Include(t => t.Rows).OrderByDescending(t => t.Id).FirstOrDefaultAsync(cancellation) is { } newest
            ? TableOf(newest)
            : WeightClassTable.Default;

    public static WeightClassTable TableOf(GuildWeightClassTable stored) => stored.IsStandard
        ? WeightClassTable.Default
        : WeightClassTable.Create(stored.Name, stored.Rows.Select(row => new WeightClassRow(
            row.WeightClass,
            LinearDensity.FromMetresPer100Grams(row.MetresPer100gLow),
            LinearDensity.FromMetresPer100Grams(row.MetresPer100gHigh),
            row.WrapsAbove,
            row.WrapsUpTo ?? double.PositiveInfinity))).Value;

    public static YardageRules RulesOf(YardageSettings settings, WeightClassTable table) => new(table)
    {
        Learning = settings.UseLearnt ? LearningOf(settings.LearntTable, settings.LearntSums) : YardageLearning.Nothing,
        IsLearntForNames = settings is { UseLearnt: true, LearntForNames: true },
        Strands = StrandsOf(settings.Strands),
        Regains = RoomRegains.Create((double?)settings.AnimalRegain, (double?)settings.PlantRegain, (double?)settings.SyntheticRegain).Value,
        Totals = new() { SharedPart = (double)settings.SharedPart, ScaleLogSd = (double)settings.ScaleErrorPercent / 100 },
        Edition = settings.Edition,
    };

    public static YardageLearning LearningOf(string table, IReadOnlyList<double> sums) =>
        sums.Count == 0 ? YardageLearning.Nothing : YardageLearning.Restore(table, Enum.GetValues<FibreGroup>().ToDictionary(group => group, group =>
        {
            int at = (int)group * SumsPerGroup;
            return new FibreGroupStatistics(sums[at], sums[at + 1], sums[at + 2], sums[at + 3], sums[at + 4], sums[at + 5], sums[at + 6]);
        }));

    public static List<double> SumsOf(YardageLearning learning) =>
        [.. Enum.GetValues<FibreGroup>().Select(learning.Statistics).SelectMany(s => new[] { s.Lots, s.V11, s.V12, s.V22, s.Z1, s.Z2, s.Zz })];

    public static string Stored(StrandSubstitute rule) => string.Create(CultureInfo.InvariantCulture, $"{rule.From.Key()} {rule.Strands} {rule.To.Key()}");

    public static StrandSubstitutes StrandsOf(IEnumerable<string> stored) => StrandSubstitutes.Create(stored.Select(rule =>
    {
        string[] words = rule.Split(' ');
        return new StrandSubstitute(
            ClassOf(words[0]),
            int.Parse(words[1], CultureInfo.InvariantCulture),
            ClassOf(words[2]));
    })).Value;

    private static WeightClass ClassOf(string key) => WeightClassTerms.TryParse(key, out WeightClass found) ? found : throw new FormatException($"\"{key}\" is no weight class.");

    private sealed record Kept(YardageRules Rules, long? Stamp);
}
