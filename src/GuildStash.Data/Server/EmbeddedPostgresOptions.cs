using Microsoft.Extensions.Logging;

namespace GuildStash.Data.Server;

/// <summary>How to run the private PostgreSQL server.</summary>
public sealed record EmbeddedPostgresOptions
{
    /// <summary>The app's data folder; the server keeps its own folder and files below it (<see cref="ServerFolders"/>).</summary>
    public required string DataDirectory { get; init; }

    /// <summary>
    /// Whether commits are forced to disk, and tables are tidied up. Only a test may say no: without it a power cut can destroy the whole database.
    /// </summary>
    public bool Durable { get; init; } = true;

    /// <summary>How long a start may take, crash recovery included.</summary>
    public TimeSpan StartTimeout { get; init; } = TimeSpan.FromMinutes(5);

    /// <summary>How long a fast shutdown may take before the server is stopped at once; the next start then recovers.</summary>
    public TimeSpan StopTimeout { get; init; } = TimeSpan.FromMinutes(1);

    public ILogger? Logger { get; init; }
}
