using System.Globalization;

namespace GuildStash.Data.Server;

/// <summary>
/// The system user that runs the server. PostgreSQL refuses root, so root drops to the cluster folder's owner, or for a new
/// cluster to "postgres" or "nobody"; anybody else runs it as themselves.
/// </summary>
internal sealed record ServerUser(string Name, uint User, uint Group, bool Dropped)
{
    private static readonly string[] Candidates = ["postgres", "nobody"];

    /// <exception cref="ServerStartException">The cluster belongs to somebody this process cannot act as, or root finds nobody to drop to.</exception>
    public static ServerUser For(ServerFolders folders)
    {
        var owner = PosixCalls.OwnerOf(folders.Cluster);
        if (!PosixCalls.IsRoot)
        {
            return owner is { } other && other.User != PosixCalls.EffectiveUser
                ? throw new ServerStartException(
                    $"The database folder {folders.Cluster} belongs to user {NameOf(other.User)}, but this program runs as {Environment.UserName}: start it as {NameOf(other.User)} or as root.")
                : new ServerUser(Environment.UserName, PosixCalls.EffectiveUser, 0, Dropped: false);
        }

        if (owner is { User: not 0 } present)
        {
            return new ServerUser(NameOf(present.User), present.User, present.Group, Dropped: true);
        }

        if (owner is not null)
        {
            throw new ServerStartException(
                $"The database folder {folders.Cluster} belongs to root, as whom PostgreSQL does not run: give it to its user with chown -R postgres: {folders.Cluster}.");
        }

        return Candidates.Select(Find).FirstOrDefault(user => user is not null) ?? throw new ServerStartException(
            "PostgreSQL does not run as root, and there is neither a user postgres nor nobody to run it: start GuildStash as an ordinary user.");
    }

    /// <summary>The words that start a program as this user.</summary>
    public (string Program, List<string> Arguments) Prefix(string program, IEnumerable<string> arguments)
    {
        if (!Dropped)
        {
            return (program, [.. arguments]);
        }

        return ("setpriv",
        [
            .. Identity(), "--clear-groups", "--", program, .. arguments,
        ]);
    }

    /// <summary>Gives the server's user a file or folder of its own; nothing to do when the app runs as the same user.</summary>
    public void Own(string path)
    {
        if (Dropped)
        {
            PosixCalls.ChangeOwner(path, User, Group);
        }
    }

    /// <summary>Checks that the server's user can pass through every folder down to its own.</summary>
    /// <exception cref="ServerStartException">A folder on the way is closed to it; the sentence names the first.</exception>
    public void CheckWayTo(string folder)
    {
        if (!Dropped || CanEnter(folder))
        {
            return;
        }

        var way = new List<string>();
        for (var step = folder; step is not null; step = Path.GetDirectoryName(step))
        {
            way.Insert(0, step);
        }

        var closed = way.First(step => !CanEnter(step));
        throw new ServerStartException(
            $"The database server runs as user {Name}, who may not enter {closed}: allow it with chmod o+x {closed}, or choose another folder with --data DIR.");
    }

    private bool CanEnter(string folder)
    {
        var (program, arguments) = Prefix("test", ["-x", folder]);
        return ServerCommand.Run(program, arguments).ExitCode == 0;
    }

    private IEnumerable<string> Identity() =>
    [
        string.Create(CultureInfo.InvariantCulture, $"--reuid={User}"),
        string.Create(CultureInfo.InvariantCulture, $"--regid={Group}"),
    ];

    private static ServerUser? Find(string name)
    {
        var fields = Lookup(name);
        return fields is null
            ? null
            : new ServerUser(
                name,
                uint.Parse(fields[2], CultureInfo.InvariantCulture),
                uint.Parse(fields[3], CultureInfo.InvariantCulture),
                Dropped: true);
    }

    private static string NameOf(uint user) =>
        Lookup(user.ToString(CultureInfo.InvariantCulture))?[0] ?? user.ToString(CultureInfo.InvariantCulture);

    /// <summary>The fields of passwd(5): name, password, user id, group id, …</summary>
    private static string[]? Lookup(string key)
    {
        var outcome = ServerCommand.Run("getent", ["passwd", key]);
        var fields = outcome.Output.Trim().Split(':');
        return outcome.ExitCode == 0 && fields.Length >= 4 ? fields : null;
    }
}
