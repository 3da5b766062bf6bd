using System.Security.Cryptography;

namespace GuildStash.Data.Server;

/// <summary>
/// Generated passwords of the three database roles, kept in libpq's password file format
/// (host:port:database:user:password; PostgreSQL manual, "The Password File") with mode 0600.
/// </summary>
internal sealed class ServerCredentials
{
    /// <summary>initdb's first role; it makes the other roles and nothing else.</summary>
    public const string Superuser = "postgres";

    public const string Owner = "guildstash_owner";

    public const string App = "guildstash_app";

    private const UnixFileMode Private = UnixFileMode.UserRead | UnixFileMode.UserWrite;
    private const string Prefix = "*:*:*:";
    private const int PasswordLength = 40;

    private readonly Dictionary<string, string> _passwords;

    private ServerCredentials(Dictionary<string, string> passwords) => _passwords = passwords;

    public string PasswordOf(string role) => _passwords[role];

    /// <summary>Reads the password file.</summary>
    /// <exception cref="ServerStartException">It is missing, unreadable, open to others or lacks a role.</exception>
    public static ServerCredentials Read(ServerFolders folders)
    {
        string[] lines;
        try
        {
            lines = File.ReadAllLines(folders.PasswordFile);
        }
        catch (FileNotFoundException)
        {
            throw new ServerStartException(
                $"The file {folders.PasswordFile} with the database passwords is missing: put it back from the back-up of {folders.Root}.");
        }
        catch (Exception fault) when (fault is UnauthorizedAccessException or IOException)
        {
            throw new ServerStartException(
                $"The file {folders.PasswordFile} cannot be read by user {Environment.UserName}: start as the user who started GuildStash first.",
                fault);
        }

        var mode = File.GetUnixFileMode(folders.PasswordFile);
        if ((mode & ~Private) != 0)
        {
            throw new ServerStartException(
                $"The file {folders.PasswordFile} with the database passwords is open to other users: close it with chmod 600 {folders.PasswordFile}.");
        }

        var passwords = lines
            .Where(line => line.StartsWith(Prefix, StringComparison.Ordinal))
            .Select(line => line[Prefix.Length..].Split(':', 2))
            .Where(parts => parts.Length == 2)
            .ToDictionary(parts => parts[0], parts => parts[1]);
        return Array.Find([Superuser, Owner, App], role => !passwords.ContainsKey(role)) is { } missing
            ? throw new ServerStartException(
                $"The file {folders.PasswordFile} has no password for {missing}: put it back from the back-up of {folders.Root}.")
            : new ServerCredentials(passwords);
    }

    /// <summary>Reads the password file, or makes it when there is none.</summary>
    public static ServerCredentials ReadOrCreate(ServerFolders folders)
    {
        if (File.Exists(folders.PasswordFile))
        {
            return Read(folders);
        }

        // Written beside and renamed, so that an interrupted start leaves either no file or a whole one.
        var unfinished = folders.PasswordFile + ".unfinished";
        File.Delete(unfinished);
        WritePrivate(unfinished, string.Concat(new[] { Superuser, Owner, App }.Select(role => $"{Prefix}{role}:{NewPassword()}\n")));
        File.Move(unfinished, folders.PasswordFile);
        return Read(folders);
    }

    /// <summary>Writes a new file that only its owner can read, and forces it to disk.</summary>
    public static void WritePrivate(string path, string text)
    {
        using var file = new FileStream(path, new FileStreamOptions
        {
            Mode = FileMode.CreateNew,
            Access = FileAccess.Write,
            UnixCreateMode = Private,
        });
        file.Write(System.Text.Encoding.UTF8.GetBytes(text));
        file.Flush(flushToDisk: true);
    }

    private static string NewPassword() =>
        RandomNumberGenerator.GetString("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", PasswordLength);
}
