using GuildStash.Data.Server;

namespace GuildStash.Data.SafeKeeping;

/// <summary>
/// A new file that is there whole or not at all: written beside under another name, readable by its owner alone, forced to disk and then
/// renamed. Disposing without <see cref="Keep"/> leaves nothing.
/// </summary>
internal sealed class SafeFile : IAsyncDisposable
{
    /// <summary>Ending of the file while it is written; one left over by a power cut may be removed.</summary>
    public const string Unfinished = ".unfinished";

    private readonly string _path;
    private readonly string _beside;
    private bool _kept;

    private SafeFile(string path, string beside, FileStream stream) => (_path, _beside, Stream) = (path, beside, stream);

    public FileStream Stream { get; }

    /// <exception cref="SafeKeepingException">There is such a file already, or the folder can't be written.</exception>
    public static SafeFile Create(string path)
    {
        string whole = Path.GetFullPath(path);
        if (Path.Exists(whole))
        {
            throw Exists(whole);
        }

        string beside = Path.Combine(Path.GetDirectoryName(whole)!, $".{Path.GetFileName(whole)}.{Guid.NewGuid().ToString("N")[..8]}{Unfinished}");
        FileStreamOptions options = new() { Mode = FileMode.CreateNew, Access = FileAccess.ReadWrite, Share = FileShare.None, Options = FileOptions.Asynchronous };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        }

        try
        {
            return new SafeFile(whole, beside, new FileStream(beside, options));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new SafeKeepingException($"The file {whole} can't be written: {fault.Message}", fault);
        }
    }

    /// <summary>Forces the file to disk and gives it its name; an existing file is never replaced.</summary>
    public void Keep()
    {
        Stream.Flush(flushToDisk: true);
        Stream.Dispose();
        try
        {
            File.Move(_beside, _path, overwrite: false);
        }
        catch (IOException fault) when (File.Exists(_path))
        {
            throw Exists(_path, fault);
        }

        _kept = true;
        if (OperatingSystem.IsLinux())
        {
            PosixCalls.SyncFolder(Path.GetDirectoryName(_path)!);
        }
    }

    public async ValueTask DisposeAsync()
    {
        await Stream.DisposeAsync();
        if (!_kept)
        {
            File.Delete(_beside);
        }
    }

    private static SafeKeepingException Exists(string path, Exception? cause = null)
    {
        string sentence = $"{path} is there already and stays as it is: give another name, or move the old file away.";
        return cause is null ? new SafeKeepingException(sentence) : new SafeKeepingException(sentence, cause);
    }
}
