using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Inventory;

/// <summary>A saved combination of filters as its person sees it.</summary>
public sealed record SavedFilterView(Guid Id, string Name, LotFilterAddress Filters);

/// <summary>Finds what a person has saved.</summary>
public sealed class SavedFilterReader(GuildWork work)
{
    /// <returns>The person's own, by name; never more than <see cref="SaveFilter.Most"/>.</returns>
    public Task<Outcome<IReadOnlyList<SavedFilterView>>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<SavedFilterView>>(by, Role.Member, async act =>
        {
            var rows = await act.Db.SavedFilters.Where(f => f.PersonId == act.By.Id)
                .OrderBy(f => f.Name).Take(SaveFilter.Most)
                .Select(f => new { f.Id, f.Name, f.Query }).ToListAsync(act.Cancellation);
            return rows.OrderBy(f => f.Name, StringComparer.CurrentCultureIgnoreCase)
                .Select(f => new SavedFilterView(f.Id, f.Name, LotFilterAddress.OfQuery(f.Query))).ToList();
        }, cancellation);
}

/// <summary>Keeps a combination of filters under a name; also the way back for one that was deleted.</summary>
public sealed class SaveFilter(GuildWork work)
{
    /// <summary>Most that one person keeps (judgement): more are no shortcut any longer.</summary>
    public const int Most = 30;

    public const int LongestName = SavedFilter.LongestName;

    public Task<Outcome<SavedFilterView>> RunAsync(Guid by, string? name, LotFilterAddress filters, CancellationToken cancellation) =>
        work.WriteAsync<SavedFilterView>(by, Role.Member, async act =>
        {
            Check check = new();
            string called = FilterName.Of(check, name);
            string query = filters.ToQuery();
            check.That(query.Length > 0, "name", "No filter is set. Set at least one filter, then save.");
            check.That(query.Length <= SavedFilter.LongestQuery, "name", "These filters take {0} characters; up to {1} can be saved. Shorten the words searched for.", query.Length, SavedFilter.LongestQuery);
            if (check.Failed)
            {
                return check.Refuse<SavedFilterView>();
            }

            await FilterName.TakeTurnAsync(act);
            List<SavedFilter> kept = await FilterName.KeptAsync(act);
            if (kept.Count >= Most)
            {
                return Refusal.Conflict("too-many-filters", "You keep {0} saved filters; up to {1} are possible. Delete one that you don't need any more.", kept.Count, Most) with { Field = "name" };
            }

            if (FilterName.Taken(kept, called) is { } taken)
            {
                return taken;
            }

            SavedFilter saved = new() { PersonId = act.By.Id, Name = called, Query = query, CreatedAt = act.Now };
            act.Db.SavedFilters.Add(saved);
            return new SavedFilterView(saved.Id, called, LotFilterAddress.OfQuery(query));
        }, cancellation);
}

/// <summary>Gives a saved combination another name.</summary>
public sealed class RenameFilter(GuildWork work)
{
    public Task<Outcome<SavedFilterView>> RunAsync(Guid by, Guid id, string? name, CancellationToken cancellation) =>
        work.WriteAsync<SavedFilterView>(by, Role.Member, async act =>
        {
            Check check = new();
            string called = FilterName.Of(check, name);
            if (check.Failed)
            {
                return check.Refuse<SavedFilterView>();
            }

            await FilterName.TakeTurnAsync(act);
            List<SavedFilter> kept = await FilterName.KeptAsync(act);
            if (kept.Find(f => f.Id == id) is not { } saved)
            {
                return Refusal.NotFound("This saved filter is not there any more. Load the page again.");
            }

            if (FilterName.Taken(kept.Where(f => f.Id != id), called) is { } taken)
            {
                return taken;
            }

            saved.Name = called;
            return new SavedFilterView(saved.Id, called, LotFilterAddress.OfQuery(saved.Query));
        }, cancellation);
}

/// <summary>Throws a saved combination away; saving it again brings it back.</summary>
public sealed class DeleteFilter(GuildWork work)
{
    /// <returns>Whether it was still there.</returns>
    public Task<Outcome<bool>> RunAsync(Guid by, Guid id, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
            await act.Db.SavedFilters.Where(f => f.Id == id && f.PersonId == act.By.Id).ExecuteDeleteAsync(act.Cancellation) > 0, cancellation);
}

/// <summary>What saving and renaming ask of a name.</summary>
internal static class FilterName
{
    /// <summary>One line without blanks at the ends or in a row.</summary>
    public static string Of(Check check, string? name) =>
        check.Needed(string.Join(' ', (name ?? "").Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)), "name", SavedFilter.LongestName);

    /// <summary>One person in two windows comes here one after the other, so that neither limit nor names are passed by.</summary>
    public static Task TakeTurnAsync(Act act) =>
        act.Db.Database.ExecuteSqlAsync($"select pg_advisory_xact_lock(hashtextextended({"saved filters of " + act.By.Id}, 0))", act.Cancellation);

    /// <summary>The person's own, of which there are never many; compared here, since the database's lower case depends on its locale.</summary>
    public static Task<List<SavedFilter>> KeptAsync(Act act) =>
        act.Db.SavedFilters.Where(f => f.PersonId == act.By.Id).ToListAsync(act.Cancellation);

    public static Refusal? Taken(IEnumerable<SavedFilter> others, string name) =>
        others.FirstOrDefault(f => f.Name.Equals(name, StringComparison.OrdinalIgnoreCase)) is { } taken
            ? Refusal.Conflict("name-taken", "You have a saved filter “{0}” already. Choose another name.", taken.Name) with { Field = "name" }
            : null;
}
