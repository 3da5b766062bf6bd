using GuildStash.Data;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Infrastructure;
using Microsoft.EntityFrameworkCore.Storage;
using Npgsql;

namespace GuildStash.Web.Features.Demo;

/// <summary>The session in which the demo guild is loaded: a few thousand short transactions of one hand, nobody else at work.</summary>
internal sealed class DemoConnection
{
    private const int Statements = 200;

    private readonly string _connection;

    /// <summary>
    /// Commits don't wait for the disk and statements are planned once, in this session alone. A machine that fails meanwhile leaves a
    /// shorter demo with clean books, since what is lost is the end; <see cref="EndAsync"/> waits for all of it.
    /// </summary>
    public DemoConnection(string connection)
    {
        _connection = new NpgsqlConnectionStringBuilder(connection)
        {
            Options = "-c synchronous_commit=off",
            MaxAutoPrepare = Statements,
            AutoPrepareMinUsages = 2,
            NoResetOnClose = true,
        }.ConnectionString;
        DbContextOptionsBuilder<GuildDbContext> options = new();
        options.UseGuildDatabase(_connection);
        Contexts = new PooledDbContextFactory<GuildDbContext>(options.Options);
    }

    /// <summary>Contexts that are used again, since the same few dozen statements are all that is asked of them.</summary>
    public IDbContextFactory<GuildDbContext> Contexts { get; }

    /// <summary>Waits until the disk has everything that was committed, and closes the session.</summary>
    public async Task EndAsync(CancellationToken cancellation)
    {
        await using (GuildDbContext db = await Contexts.CreateDbContextAsync(cancellation))
        await using (IDbContextTransaction transaction = await db.Database.BeginTransactionAsync(cancellation))
        {
            // A transaction with a number of its own writes its commit, and a commit takes everything before it to the disk.
            await db.Database.ExecuteSqlAsync($"set local synchronous_commit = on", cancellation);
            await db.Database.ExecuteSqlAsync($"select pg_current_xact_id()", cancellation);
            await transaction.CommitAsync(cancellation);
        }

        await using NpgsqlConnection pooled = new(_connection);
        NpgsqlConnection.ClearPool(pooled);
    }
}
