using GuildStash.Data;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Storage;
using Npgsql;

namespace GuildStash.Web.Features.Demo;

/// <summary>The sessions in which the demo guild is loaded: a few thousand short transactions of one hand, nobody else at work.</summary>
internal static class DemoConnection
{
    private const int Statements = 200;

    /// <summary>
    /// Commits don't wait for the disk and statements are planned once, in these sessions alone. A machine that fails meanwhile leaves a
    /// shorter demo with clean books, since what is lost is the end; <see cref="SettleAsync"/> waits for all of it.
    /// </summary>
    public static string Hasty(string connection) => new NpgsqlConnectionStringBuilder(connection)
    {
        Options = "-c synchronous_commit=off",
        MaxAutoPrepare = Statements,
        AutoPrepareMinUsages = 2,
        NoResetOnClose = true,
    }.ConnectionString;

    /// <summary>Waits until the disk has everything that was committed before.</summary>
    public static async Task SettleAsync(GuildDbContext db, CancellationToken cancellation)
    {
        await using IDbContextTransaction transaction = await db.Database.BeginTransactionAsync(cancellation);

        // A transaction with a number of its own writes its commit, and a commit takes everything before it to the disk.
        await db.Database.ExecuteSqlAsync($"set local synchronous_commit = on", cancellation);
        await db.Database.ExecuteSqlAsync($"select pg_current_xact_id()", cancellation);
        await transaction.CommitAsync(cancellation);
    }
}
