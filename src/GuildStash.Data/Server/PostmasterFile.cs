using System.Globalization;

namespace GuildStash.Data.Server;

/// <summary>
/// What a running server says of itself in postmaster.pid: process, data folder, start, port, socket folder, address,
/// shared memory, status, one a line (PostgreSQL source, src/include/utils/pidfile.h).
/// </summary>
internal sealed record PostmasterFile(int ProcessId, string SocketFolder, string Status)
{
    private const int SocketFolderLine = 4;
    private const int StatusLine = 7;

    public bool IsReady => Status == "ready";

    /// <summary>Reads the file; null when there is none or the server has only begun to write it.</summary>
    /// <exception cref="ServerStartException">The file belongs to somebody else.</exception>
    public static PostmasterFile? Read(ServerFolders folders)
    {
        string[] lines;
        try
        {
            lines = File.ReadAllLines(folders.PostmasterFile);
        }
        catch (UnauthorizedAccessException fault)
        {
            throw new ServerStartException(
                $"The file {folders.PostmasterFile} cannot be read by user {Environment.UserName}: start as the user who started GuildStash first.",
                fault);
        }
        catch (IOException)
        {
            return null;
        }

        return lines.Length > 0 && int.TryParse(lines[0], CultureInfo.InvariantCulture, out var process)
            ? new PostmasterFile(
                process,
                lines.ElementAtOrDefault(SocketFolderLine)?.Trim() ?? "",
                lines.ElementAtOrDefault(StatusLine)?.Trim() ?? "")
            : null;
    }
}
