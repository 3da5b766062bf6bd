using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Pieces;

/// <summary>An edition of the size table.</summary>
/// <param name="Id">1 and up; 0 is the table that comes with the program.</param>
/// <param name="By">Who saved it.</param>
public sealed record SizeEdition(int Id, int Rows, DateTimeOffset? At, string By);

/// <summary>The size table in force.</summary>
/// <param name="Edition">To be handed back when saving, so that two coordinators don't overwrite each other; 0: the program's own.</param>
/// <param name="History">Newest first, the program's own last.</param>
public sealed record SizesInForce(PieceSizes Sizes, int Edition, IReadOnlyList<SizeEdition> History)
{
    public bool IsStandard => Edition == 0;
}

/// <summary>Reads the size table and its editions.</summary>
public sealed class PieceSizesReader(GuildWork work)
{
    private const int MostEditions = 50;

    public Task<Outcome<SizesInForce>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<SizesInForce>(by, Role.Member, async act =>
        {
            var editions = await act.Db.PieceSizeTables.OrderByDescending(t => t.Id).Take(MostEditions)
                .Join(act.Db.People, t => t.CreatedById, p => p.Id, (t, p) => new { t.Id, t.Lines, t.CreatedAt, p.DisplayName }).ToListAsync(act.Cancellation);
            List<SizeEdition> history = [.. editions.Select(e => new SizeEdition(e.Id, Read(e.Lines).Rows.Count, e.CreatedAt, e.DisplayName))];
            history.Add(new SizeEdition(0, PieceSizes.Default.Rows.Count, null, ""));
            return editions is [{ } newest, ..] ? new SizesInForce(Read(newest.Lines), newest.Id, history) : new SizesInForce(PieceSizes.Default, 0, history);
        }, cancellation);

    /// <summary>What was saved was checked; a table that a later version can't read gives way to the program's own.</summary>
    internal static PieceSizes Read(string lines)
    {
        Outcome<PieceSizes> sizes = PieceSizes.Parse(lines);
        return sizes.IsOk ? sizes.Value : PieceSizes.Default;
    }
}

/// <summary>Saves a new edition of the size table. Pieces that were reckoned with an earlier one keep their lengths.</summary>
public sealed class SavePieceSizes(GuildWork work)
{
    /// <param name="edition">The one that the person saw.</param>
    /// <param name="lines">As <see cref="PieceSizes.Parse"/> reads them.</param>
    /// <returns>Number of the new edition.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int edition, string? lines, CancellationToken cancellation) =>
        work.WriteAsync<int>(by, Role.Coordinator, act => AddAsync(act, edition, lines ?? ""), cancellation);

    /// <summary>Puts an earlier edition into force again, as a new one, so that nothing is lost.</summary>
    /// <param name="back">The earlier edition; 0 is the table that comes with the program.</param>
    public Task<Outcome<int>> GoBackAsync(Guid by, int edition, int back, CancellationToken cancellation) =>
        work.WriteAsync<int>(by, Role.Coordinator, async act =>
        {
            string? lines = back == 0
                ? PieceSizes.Write(PieceSizes.Default.Rows)
                : await act.Db.PieceSizeTables.Where(t => t.Id == back).Select(t => t.Lines).SingleOrDefaultAsync(act.Cancellation);
            return lines is null ? Refusal.NotFound("There is no such edition of the size table.") : await AddAsync(act, edition, lines);
        }, cancellation);

    private static async Task<Outcome<int>> AddAsync(Act act, int edition, string lines)
    {
        await PieceFields.LockAsync(act);
        int newest = await act.Db.PieceSizeTables.MaxAsync(t => (int?)t.Id, act.Cancellation) ?? 0;
        if (newest != edition)
        {
            return Refusal.Conflict("changed-meanwhile", "Somebody else changed the size table meanwhile. Reload to see the present state, then enter your change again.");
        }

        Outcome<PieceSizes> sizes = lines.Length > MostCharacters
            ? Refusal.Invalid("sizes", "The table has {0:N0} characters; at most {1:N0} fit.", lines.Length, MostCharacters)
            : PieceSizes.Parse(lines);
        if (!sizes.IsOk)
        {
            return Outcome<int>.Refused(sizes.Refusals);
        }

        PieceSizeTable table = new() { Lines = PieceSizes.Write(sizes.Value.Rows), CreatedAt = act.Now, CreatedById = act.By.Id };
        act.Db.PieceSizeTables.Add(table);
        await act.Db.SaveChangesAsync(act.Cancellation);
        return table.Id;
    }

    private const int MostCharacters = 200_000;
}
