using System.Globalization;
using System.Text.RegularExpressions;

namespace GuildStash.Data.Server;

/// <summary>The folder of one PostgreSQL installation's programs, and its major version.</summary>
internal sealed partial record ServerPrograms(string Folder, int Major)
{
    /// <summary>The oldest release that the schema and its grants are written for.</summary>
    public const int OldestMajor = 15;

    private static readonly string[] VersionFolderParents = ["/usr/lib/postgresql", "/opt/postgresql"];

    private static readonly (string Parent, string Pattern, string Below)[] VersionFolders =
    [
        ("/usr", "pgsql-*", "bin"),
        ("/usr/libexec", "postgresql*", ""),
        ("/usr/local/opt", "postgresql@*", "bin"),
    ];

    public string Server => Path.Combine(Folder, "postgres");

    public string InitDb => Path.Combine(Folder, "initdb");

    /// <summary>The programs for a new cluster (the newest) or for one of a given major version (exactly that).</summary>
    /// <param name="pinnedMajor">The major version in the cluster's PG_VERSION, or null for a new one.</param>
    /// <param name="cluster">The cluster's folder, for the sentence.</param>
    /// <exception cref="ServerProgramsMissingException">No PostgreSQL server of at least version 15 is installed.</exception>
    /// <exception cref="ServerStartException">None of the installed versions fits the cluster.</exception>
    public static ServerPrograms Find(int? pinnedMajor, string cluster) => Choose(Installed(), pinnedMajor, cluster);

    internal static ServerPrograms Choose(IReadOnlyList<ServerPrograms> installed, int? pinnedMajor, string cluster)
    {
        if (pinnedMajor is { } major)
        {
            return installed.FirstOrDefault(programs => programs.Major == major) ?? throw new ServerStartException(
                $"The database in {cluster} was made by PostgreSQL {major}, but installed here is {Listed(installed)}: install PostgreSQL {major}, or carry the data over with pg_dump and pg_restore.");
        }

        return installed.Where(programs => programs.Major >= OldestMajor).MaxBy(programs => programs.Major)
            ?? throw new ServerProgramsMissingException(
                $"No PostgreSQL server of version {OldestMajor} or newer was found (installed: {Listed(installed)}): install it, on Debian with apt-get install postgresql, or name a server with --database.");
    }

    private static string Listed(IReadOnlyList<ServerPrograms> installed) => installed.Count == 0
        ? "none"
        : string.Join(", ", installed.Select(programs => string.Create(CultureInfo.InvariantCulture, $"{programs.Major} in {programs.Folder}")));

    private static List<ServerPrograms> Installed()
    {
        var found = new List<ServerPrograms>();
        foreach (var folder in Candidates().Select(RealFolder).OfType<string>().Distinct())
        {
            if (MajorOf(Path.Combine(folder, "postgres")) is { } major)
            {
                found.Add(new ServerPrograms(folder, major));
            }
        }

        return found;
    }

    /// <summary>Folders in which the programs of some version may lie.</summary>
    internal static IEnumerable<string> Candidates()
    {
        var path = Environment.GetEnvironmentVariable("PATH") ?? "";
        var onPath = path.Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries).Where(Path.IsPathRooted);
        var inVersionFolders = VersionFolderParents.SelectMany(parent => Below(parent, "*", "bin"));
        var others = VersionFolders.SelectMany(place => Below(place.Parent, place.Pattern, place.Below));
        return [.. onPath, .. inVersionFolders, .. others, "/usr/local/pgsql/bin"];
    }

    private static IEnumerable<string> Below(string parent, string pattern, string below) => Directory.Exists(parent)
        ? Directory.EnumerateDirectories(parent, pattern).Select(folder => Path.Combine(folder, below))
        : [];

    /// <summary>PostgreSQL finds its share folder from the program's real place, so a link on PATH is followed.</summary>
    private static string? RealFolder(string folder)
    {
        var server = Path.Combine(folder, "postgres");
        if (!File.Exists(server))
        {
            return null;
        }

        var real = File.ResolveLinkTarget(server, returnFinalTarget: true)?.FullName ?? server;
        var realFolder = Path.GetDirectoryName(real)!;
        return File.Exists(Path.Combine(realFolder, "initdb")) ? realFolder : null;
    }

    private static int? MajorOf(string server)
    {
        try
        {
            var outcome = ServerCommand.Run(server, ["--version"]);
            var match = VersionPattern().Match(outcome.Output);
            return match.Success ? int.Parse(match.Groups[1].ValueSpan, CultureInfo.InvariantCulture) : null;
        }
        catch (ServerStartException)
        {
            return null;
        }
    }

    [GeneratedRegex(@"PostgreSQL\) (\d+)")]
    private static partial Regex VersionPattern();
}
