using System.Net;
using System.Net.Sockets;
using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.TestSupport;
using Xunit;

namespace GuildStash.Browser.Tests.Support;

/// <summary>A guild's site that answers on a port of the loopback address.</summary>
public abstract class Site : IAsyncDisposable
{
    private const string ProgramFolderName = "GUILDSTASH_TEST_APP";

    private static int s_port = Random.Shared.Next(20_000, 30_000);

    private readonly TestDatabase? _database;

    /// <param name="database">Null where the site has a database server of its own.</param>
    protected Site(TestDatabase? database, int port)
    {
        (_database, Address) = (database, new Uri($"http://127.0.0.1:{port}"));
        (OwnerConnectionString, AppConnectionString) = (database?.OwnerConnectionString ?? "", database?.AppConnectionString ?? "");
    }

    public static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    public Uri Address { get; }

    public string OwnerConnectionString { get; protected set; }

    public string AppConnectionString { get; protected set; }

    /// <summary>Where the published program lies.</summary>
    public static string ProgramFolder => Environment.GetEnvironmentVariable(ProgramFolderName)
        ?? throw new InvalidOperationException($"{ProgramFolderName} names no folder with the published program. ./test.sh sets it; by hand: export {ProgramFolderName}=$(./run.sh build).");

    public TestDatabase Database => _database ?? throw new InvalidOperationException("This site has a database server of its own.");

    protected bool HasDatabase => _database is not null;

    /// <summary>Every rule of the ledger holds for every row.</summary>
    public async Task AssertBooksAreCleanAsync()
    {
        await using GuildDbContext db = GuildDatabase.Open(OwnerConnectionString);
        Assert.Empty((await BookAudit.RunAsync(db, Cancellation)).SelectMany(line => line.Faults));
    }

    public abstract ValueTask DisposeAsync();

    /// <summary>Below those that the system gives to whoever asks for any: a program takes seconds until it listens, and another would have it by then.</summary>
    protected static int FreePort()
    {
        while (true)
        {
            int port = Interlocked.Increment(ref s_port);
            try
            {
                using TcpListener listener = new(IPAddress.Loopback, port);
                listener.Start();
                return port;
            }
            catch (SocketException)
            {
                // Somebody else's: the next one.
            }
        }
    }
}
