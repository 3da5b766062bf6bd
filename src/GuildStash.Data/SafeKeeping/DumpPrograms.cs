using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;
using GuildStash.Data.Server;
using Npgsql;

namespace GuildStash.Data.SafeKeeping;

/// <summary>pg_dump and pg_restore of one installation.</summary>
internal sealed partial record DumpPrograms(string Folder, int Major)
{
    /// <summary>
    /// The programs of the server's own version, else the next newer ones: they refuse a server newer than themselves (PostgreSQL manual,
    /// pg_dump, "Notes").
    /// </summary>
    /// <param name="oldest">The least major version that will do.</param>
    /// <exception cref="SafeKeepingException">None is installed.</exception>
    public static DumpPrograms Find(int oldest) => Choose(Installed(), oldest);

    internal static DumpPrograms Choose(IReadOnlyList<DumpPrograms> installed, int oldest) =>
        installed.Where(p => p.Major >= oldest).MinBy(p => p.Major) ?? throw new SafeKeepingException(string.Create(
            CultureInfo.InvariantCulture,
            $"The programs pg_dump and pg_restore of PostgreSQL {oldest} are needed here, but installed is {Listed(installed)}: install them, on Debian with apt-get install postgresql-client-{oldest}."));

    public ProcessStartInfo Dump(string connectionString, string snapshot)
    {
        ProcessStartInfo start = ServerCommand.Describe(
            Path.Combine(Folder, "pg_dump"),
            ["--format=custom", "--no-owner", "--no-privileges", "--no-password", "--lock-wait-timeout=300000", "--snapshot=" + snapshot]);
        Connect(start, connectionString);
        return start;
    }

    /// <summary>Reads the dump from its standard input.</summary>
    public ProcessStartInfo Restore(string connectionString)
    {
        // A database's name says nothing secret; quoted, it can't be taken for a whole connection string.
        string name = new NpgsqlConnectionStringBuilder(connectionString).Database!
            .Replace("\\", "\\\\", StringComparison.Ordinal).Replace("'", "\\'", StringComparison.Ordinal);
        ProcessStartInfo start = ServerCommand.Describe(
            Path.Combine(Folder, "pg_restore"),
            ["--no-owner", "--no-privileges", "--no-comments", "--no-password", "--exit-on-error", "--single-transaction", $"--dbname=dbname='{name}'"]);
        Connect(start, connectionString);
        return start;
    }

    /// <summary>Everything about the connection goes by the environment: a command line can be read by every user of the machine.</summary>
    private static void Connect(ProcessStartInfo start, string connectionString)
    {
        NpgsqlConnectionStringBuilder connection = new(connectionString);
        Dictionary<string, string?> words = new()
        {
            ["PGHOST"] = connection.Host,
            ["PGPORT"] = connection.Port.ToString(CultureInfo.InvariantCulture),
            ["PGDATABASE"] = connection.Database,
            ["PGUSER"] = connection.Username ?? Environment.GetEnvironmentVariable("PGUSER"),
            ["PGPASSWORD"] = connection.Password ?? Environment.GetEnvironmentVariable("PGPASSWORD"),
            ["PGPASSFILE"] = connection.Passfile ?? Environment.GetEnvironmentVariable("PGPASSFILE"),
            ["PGSSLMODE"] = SslModeOf(connection.SslMode),
            ["PGSSLROOTCERT"] = connection.RootCertificate ?? Environment.GetEnvironmentVariable("PGSSLROOTCERT"),
            ["PGSSLCERT"] = connection.SslCertificate ?? Environment.GetEnvironmentVariable("PGSSLCERT"),
            ["PGSSLKEY"] = connection.SslKey ?? Environment.GetEnvironmentVariable("PGSSLKEY"),
            ["PGAPPNAME"] = "GuildStash back-up",
        };
        foreach ((string name, string? value) in words.Where(w => !string.IsNullOrEmpty(w.Value)))
        {
            start.Environment[name] = value;
        }
    }

    private static string SslModeOf(SslMode mode) => mode switch
    {
        SslMode.VerifyCA => "verify-ca",
        SslMode.VerifyFull => "verify-full",
        _ => mode.ToString().ToLowerInvariant(),
    };

    private static List<DumpPrograms> Installed()
    {
        List<DumpPrograms> found = [];
        foreach (string folder in ServerPrograms.Candidates().Select(RealFolder).OfType<string>().Distinct())
        {
            CommandOutcome outcome = ServerCommand.Run(Path.Combine(folder, "pg_dump"), ["--version"]);
            if (VersionPattern().Match(outcome.Output) is { Success: true } match)
            {
                found.Add(new DumpPrograms(folder, int.Parse(match.Groups[1].ValueSpan, CultureInfo.InvariantCulture)));
            }
        }

        return found;
    }

    /// <summary>A link is followed; one to a wrapper that chooses a version by itself is none of ours.</summary>
    private static string? RealFolder(string folder)
    {
        string dump = Path.Combine(folder, "pg_dump");
        if (!File.Exists(dump))
        {
            return null;
        }

        string real = File.ResolveLinkTarget(dump, returnFinalTarget: true)?.FullName ?? dump;
        string realFolder = Path.GetDirectoryName(real)!;
        return Path.GetFileName(real) == "pg_dump" && File.Exists(Path.Combine(realFolder, "pg_restore")) ? realFolder : null;
    }

    private static string Listed(IReadOnlyList<DumpPrograms> installed) => installed.Count == 0
        ? "none"
        : string.Join(", ", installed.Select(p => p.Major.ToString(CultureInfo.InvariantCulture)).Distinct());

    [GeneratedRegex(@"PostgreSQL\) (\d+)")]
    private static partial Regex VersionPattern();
}
