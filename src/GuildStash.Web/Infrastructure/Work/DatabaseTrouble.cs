using GuildStash.Domain.Rules;
using Npgsql;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>What goes wrong with a database that is well asked: it is away, it starts up, its disk is full. All of it may pass.</summary>
public static class DatabaseTrouble
{
    public const string Silent = "database-silent";
    public const string DiskFull = "disk-full";
    public const string Unsure = "saved-or-not";

    /// <summary>Pauses before asking a silent database again. A server that was killed answers after one to three seconds.</summary>
    private static readonly int[] PausesMs = [50, 100, 200, 400, 800, 1600, 2000];

    private static readonly HashSet<string> Away =
    [
        PostgresErrorCodes.AdminShutdown, PostgresErrorCodes.CrashShutdown, PostgresErrorCodes.CannotConnectNow,
        PostgresErrorCodes.TooManyConnections, PostgresErrorCodes.ConnectionException, PostgresErrorCodes.ConnectionFailure,
        PostgresErrorCodes.ConnectionDoesNotExist, PostgresErrorCodes.SqlClientUnableToEstablishSqlConnection,
    ];

    /// <summary>What to tell the person, or null where the fault is the program's own.</summary>
    public static Refusal? Of(Exception exception) => Npgsql(exception) switch
    {
        PostgresException { SqlState: PostgresErrorCodes.DiskFull } => Unavailable(DiskFull,
            "The server's disk is full, so nothing was saved. Keep this page open, tell the administrator, and save again once there is room."),
        { } e when IsSilent(e) => Unavailable(Silent,
            "The database does not answer at the moment, and nothing was saved. Wait a little, then try again; tell the administrator if it stays."),
        _ => null,
    };

    /// <summary>The database did not answer; asking again is worth it.</summary>
    public static bool IsSilent(Exception exception) => Npgsql(exception) switch
    {
        PostgresException e => Away.Contains(e.SqlState),
        { } e => e.InnerException is not null || e.IsTransient,
        _ => false,
    };

    /// <summary>The connection broke while saving and the database does not say whether it was done.</summary>
    public static Refusal NobodyKnows() => Unavailable(Unsure,
        "The connection to the database broke just as this was being saved. Look whether it is there before you enter it again.");

    /// <summary>Waits before the next try, longer each time.</summary>
    /// <returns>False when it was tried for about five seconds.</returns>
    public static async Task<bool> PauseAsync(int triesSoFar, CancellationToken cancellation)
    {
        if (triesSoFar > PausesMs.Length)
        {
            return false;
        }

        await Task.Delay(PausesMs[triesSoFar - 1], cancellation);
        return true;
    }

    private static Refusal Unavailable(string rule, string sentence) => new(rule, RefusalKind.Unavailable, new Phrase(sentence));

    /// <summary>What the database said; the data layer wraps it once or twice.</summary>
    public static NpgsqlException? Npgsql(Exception? exception)
    {
        for (; exception is not null; exception = exception.InnerException)
        {
            if (exception is NpgsqlException found)
            {
                return found;
            }
        }

        return null;
    }
}
