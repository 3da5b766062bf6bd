using System.Globalization;

namespace GuildStash.Data.Server;

/// <summary>
/// One app per data folder. The lock is the kernel's (flock), bound to the open file: it ends with the process, also after
/// kill -9, so that a file left behind never blocks a start.
/// </summary>
internal sealed class DataFolderLock : IDisposable
{
    private readonly FileStream _file;
    private readonly string _holderFile;

    private DataFolderLock(FileStream file, string holderFile) => (_file, _holderFile) = (file, holderFile);

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
            throw OfAnotherUser(folders, fault);
        }
        catch (IOException)
        {
            return null;
        }

        File.WriteAllText(folders.HolderFile, Environment.ProcessId.ToString(CultureInfo.InvariantCulture));
        return new DataFolderLock(file, folders.HolderFile);
    }

    /// <summary>The process that holds the lock, as it wrote it; null when it cannot be read.</summary>
    public static int? Holder(ServerFolders folders)
    {
        try
        {
            return int.TryParse(File.ReadAllText(folders.HolderFile), CultureInfo.InvariantCulture, out var process) ? process : null;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>Whether nobody holds the lock at this moment.</summary>
    public static bool IsFree(ServerFolders folders)
    {
        try
        {
            using var file = new FileStream(folders.LockFile, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
            return true;
        }
        catch (FileNotFoundException)
        {
            return true;
        }
        catch (IOException)
        {
            return false;
        }
        catch (UnauthorizedAccessException fault)
        {
            throw OfAnotherUser(folders, fault);
        }
    }

    public void Dispose()
    {
        File.Delete(_holderFile);
        _file.Dispose();
    }

    private static ServerStartException OfAnotherUser(ServerFolders folders, UnauthorizedAccessException fault) => new(
        $"The lock file {folders.LockFile} belongs to another user: start as that user, or remove it when nothing runs.", fault);
}
