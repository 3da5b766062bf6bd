using GuildStash.Domain.People;

namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>What the program was asked to do.</summary>
public enum AppCommand
{
    /// <summary>Serve the site until stopped.</summary>
    Serve,

    /// <summary>Load the invented guild into an empty database.</summary>
    SeedDemo,

    /// <summary>Make an API token and print it alone on standard output.</summary>
    Token,

    /// <summary>Make a link for a new password and print it alone on standard output.</summary>
    NewPassword,

    /// <summary>Audit the books.</summary>
    Check,

    /// <summary>Write the whole guild into one archive.</summary>
    Backup,

    /// <summary>Load an archive into an empty database.</summary>
    Restore,

    /// <summary>Write everything into open files, so that a guild can leave.</summary>
    Export,
}

/// <summary>The program's settings, from the command line or, where that is silent, from the environment.</summary>
/// <param name="Port">1 to 65535.</param>
/// <param name="DataDirectory">Absolute path; the embedded server lives below it.</param>
/// <param name="Database">Connection string of the owner role on a server of the guild's own, or null for the embedded one.</param>
/// <param name="AppDatabase">Connection string of the lesser role there; null when both are the same role.</param>
/// <param name="PublicUrl">What QR codes point to, without a slash at the end; null until somebody has set it.</param>
/// <param name="Bind">"localhost", "*" for every address, or an IP address.</param>
/// <param name="Email">Whose token or link to make; set for <see cref="AppCommand.Token"/> and <see cref="AppCommand.NewPassword"/> only.</param>
/// <param name="TokenName">What the token is called in its owner's list; set for <see cref="AppCommand.Token"/> only.</param>
public sealed record AppOptions(
    AppCommand Command,
    int Port,
    string DataDirectory,
    string? Database,
    string? AppDatabase,
    string? PublicUrl,
    string Bind,
    bool Demo,
    string? Email,
    string? TokenName)
{
    /// <summary>Addresses or networks of reverse proxies whose forwarded headers are believed (GUILDSTASH_PROXIES).</summary>
    public IReadOnlyList<string> Proxies { get; init; } = [];

    /// <summary>How far the token to make reaches; for <see cref="AppCommand.Token"/> only.</summary>
    public TokenScope TokenScope { get; init; } = TokenScope.Write;

    /// <summary>Absolute path of the archive or export; set for <see cref="AppCommand.Backup"/>, <see cref="AppCommand.Restore"/> and <see cref="AppCommand.Export"/> only.</summary>
    public string? File { get; init; }

    /// <summary>Absolute path of the folder of the nightly back-ups; null: none are made, since no folder was named for a server of the guild's own.</summary>
    public string? Backups { get; init; }

    /// <summary>The address to listen on, in the form that the web server takes.</summary>
    public string ListenUrl => System.Net.IPAddress.TryParse(Bind, out var address)
        && address.AddressFamily == System.Net.Sockets.AddressFamily.InterNetworkV6
            ? $"http://[{address}]:{Port}"
            : $"http://{Bind}:{Port}";

    /// <summary>The address to open in a browser on this machine.</summary>
    public string LocalUrl => $"http://localhost:{Port}";
}
