using GuildStash.Data.Guild;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Settings;

/// <summary>A table that was put into force.</summary>
/// <param name="By">Who did it.</param>
public sealed record WeightClassVersion(string Name, bool IsStandard, DateTimeOffset At, string By);

/// <summary>The table in force and how it came about.</summary>
/// <param name="Version">To be handed back when saving, so that two coordinators don't overwrite each other.</param>
/// <param name="History">Newest first; what is in force comes first, empty while it is the standard table and always was.</param>
public sealed record WeightClassTableInForce(WeightClassTable Table, int Version, IReadOnlyList<WeightClassVersion> History)
{
    /// <summary>The table that comes with the program.</summary>
    internal static WeightClassTable Standard => GuildYardage.Stateless.Table;

    public bool IsStandard => Table == Standard;
}

/// <summary>Reads the table of weight classes in force and who put it there.</summary>
public sealed class WeightClassTableReader(GuildWork work)
{
    private const int MostVersions = 50;

    public Task<Outcome<WeightClassTableInForce>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<WeightClassTableInForce>(by, Role.Coordinator, async act =>
        {
            int version = await act.Db.Yardage.Select(y => y.Version).SingleAsync(act.Cancellation);
            List<WeightClassVersion> history = await act.Db.WeightClassTables.OrderByDescending(t => t.Id).Take(MostVersions)
                .Join(act.Db.People, t => t.CreatedById, p => p.Id, (t, p) => new WeightClassVersion(t.Name, t.IsStandard, t.CreatedAt, p.DisplayName))
                .ToListAsync(act.Cancellation);
            return new WeightClassTableInForce(act.Yardage.Table, version, history);
        }, cancellation);
}

/// <summary>How far the lots are with figures of the rules in force.</summary>
/// <param name="Waiting">Lots whose figures are still of other rules.</param>
/// <param name="All">All lots.</param>
public sealed record RecomputeProgress(int Waiting, int All);

/// <summary>Tells how far <see cref="RecomputeJob"/> is.</summary>
public sealed class RecomputeReader(GuildWork work)
{
    public Task<Outcome<RecomputeProgress>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<RecomputeProgress>(by, Role.Coordinator, async act =>
            new RecomputeProgress(
                await RecomputeJob.Waiting(act.Db, act.Yardage.Edition).CountAsync(act.Cancellation),
                await act.Db.Lots.CountAsync(act.Cancellation)), cancellation);
}

/// <summary>Puts a table of weight classes into force; the lots follow in <see cref="RecomputeJob"/>.</summary>
public sealed class SaveWeightClasses(GuildWork work)
{
    /// <param name="version">The version the person saw; a newer one in the database refuses the change.</param>
    /// <returns>The name of the table in force.</returns>
    public Task<Outcome<string>> RunAsync(Guid by, int version, WeightClassTableInput input, CancellationToken cancellation) =>
        work.WriteAsync<string>(by, Role.Coordinator, async act =>
        {
            Outcome<YardageSettings> settings = await YardageChange.BeginAsync(act, version);
            if (!settings.IsOk)
            {
                return Outcome<string>.Refused(settings.Refusals);
            }

            Outcome<WeightClassTable> table = input.Read();
            if (!table.IsOk)
            {
                return Outcome<string>.Refused(table.Refusals);
            }

            if (!input.IsStandard && await act.Db.WeightClassTables.AnyAsync(t => !t.IsStandard && t.Name == table.Value.Version, act.Cancellation))
            {
                return Refusal.Invalid("version", "There was a table \"{0}\" before, and figures may be stored with its name. Give this one another.", table.Value.Version);
            }

            act.Db.WeightClassTables.Add(Stored(act, table.Value, input.IsStandard));
            await RoomLearning.LearnIntoAsync(act.Db, settings.Value, table.Value, act.Cancellation);
            return table.Value.Version;
        }, cancellation);

    private static GuildWeightClassTable Stored(Act act, WeightClassTable table, bool isStandard) => new()
    {
        Name = table.Version,
        IsStandard = isStandard,
        CreatedAt = act.Now,
        CreatedById = act.By.Id,
        Rows = isStandard
            ? []
            :
            [
                .. table.Rows.Select(row => new GuildWeightClassRow
                {
                    WeightClass = row.WeightClass,
                    MetresPer100gLow = row.Low.MetresPer100Grams,
                    MetresPer100gHigh = row.High.MetresPer100Grams,
                    WrapsAbove = row.WrapsAbove,
                    WrapsUpTo = double.IsPositiveInfinity(row.WrapsUpTo) ? null : row.WrapsUpTo,
                }),
            ],
    };
}

/// <summary>What every change of how length is told begins with.</summary>
internal static class YardageChange
{
    /// <summary>Runs a change of the settings; what it refuses leaves nothing behind.</summary>
    /// <param name="change">What to do; answers what is wrong.</param>
    /// <returns>The new version.</returns>
    public static Task<Outcome<int>> RunAsync(
        GuildWork work, Guid by, int version, Func<Act, YardageSettings, Task<IReadOnlyList<Refusal>>> change, CancellationToken cancellation) =>
        work.WriteAsync<int>(by, Role.Coordinator, async act =>
        {
            Outcome<YardageSettings> settings = await BeginAsync(act, version);
            if (!settings.IsOk)
            {
                return Outcome<int>.Refused(settings.Refusals);
            }

            IReadOnlyList<Refusal> wrong = await change(act, settings.Value);
            return wrong.Count > 0 ? Outcome<int>.Refused(wrong) : settings.Value.Version;
        }, cancellation);

    /// <summary>The settings, locked and marked as changed by this person; the caller counts the edition up where lots must follow.</summary>
    public static async Task<Outcome<YardageSettings>> BeginAsync(Act act, int version)
    {
        YardageSettings settings = await act.Db.Yardage.FromSql($"select * from yardage for update").SingleAsync(act.Cancellation);
        if (settings.Version != version)
        {
            return Refusal.Conflict("changed-meanwhile", "Somebody else changed how length is told meanwhile. Reload to see the present state, then enter your change again.");
        }

        settings.Version++;
        settings.Stamp++;
        settings.ChangedAt = act.Now;
        settings.ChangedById = act.By.Id;
        return settings;
    }
}
