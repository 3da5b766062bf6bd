using System.Globalization;

namespace GuildStash.Data.Server;

/// <summary>
/// One app per data folder. The lock is the kernel's (flock), bound to the open file: it ends with the process, also after
/// kill -9, so that a file left behind never blocks a start.
/// </summary>
internal sealed class DataFolderLock : IDisposable
{
    private readonly FileStream _file;

    private DataFolderLock(FileStream file) => _file = file;

    /// <summary>Takes the lock; null when another process holds it.</summary>
    /// <exception cref="ServerStartException">The lock file cannot be opened.</exception>
    public static DataFolderLock? TryTake(ServerFolders folders)
    {
        FileStream file;
        try
        {
            file = new FileStream(folders.LockFile, new FileStreamOptions
            {
                Mode = FileMode.OpenOrCreate,
                Access = FileAccess.ReadWrite,
                Share = FileShare.None,
                UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite,
            });
        }
        catch (UnauthorizedAccessException fault)
        {
            throw new ServerStartException(
                $"The lock file {folders.LockFile} belongs to another user: start as that user, or remove it when nothing runs.", fault);
        }
        catch (IOException)
        {
            return null;
        }

        file.SetLength(0);
        file.Write(System.Text.Encoding.ASCII.GetBytes(Environment.ProcessId.ToString(CultureInfo.InvariantCulture)));
        file.Flush();
        return new DataFolderLock(file);
    }

    /// <summary>The process that holds the lock, as it wrote it; null when it cannot be read.</summary>
    public static int? Holder(ServerFolders folders)
    {
        try
        {
            // FileShare.ReadWrite asks for no lock of its own, so the file can be read while another process holds it.
            using var file = new FileStream(folders.LockFile, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
            using var reader = new StreamReader(file);
            return int.TryParse(reader.ReadToEnd(), CultureInfo.InvariantCulture, out var process) ? process : null;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    public void Dispose() => _file.Dispose();
}
