using System.Buffers.Binary;
using System.Runtime.InteropServices;

namespace GuildStash.Data.Server;

/// <summary>The few system calls that .NET has no managed form of.</summary>
internal static class PosixCalls
{
    public const int SignalInterrupt = 2;
    public const int SignalQuit = 3;

    private const int AtCurrentFolder = -100;
    private const int NoFollow = 0x100;
    private const uint BasicStats = 0x7ff;
    private const int NoSuchProcess = 3;
    private const int CloseOnExec = 0x80000;

    public static uint EffectiveUser => geteuid();

    public static bool IsRoot => EffectiveUser == 0;

    /// <summary>Sends a signal.</summary>
    /// <returns>False when the process no longer exists.</returns>
    /// <exception cref="ServerStartException">The signal is not allowed.</exception>
    public static bool Signal(int process, int signal)
    {
        if (kill(process, signal) == 0)
        {
            return true;
        }

        var error = Marshal.GetLastPInvokeError();
        if (error == NoSuchProcess)
        {
            return false;
        }

        throw new ServerStartException(
            $"Process {process}, the database server, could not be signalled: {Marshal.GetPInvokeErrorMessage(error)}.");
    }

    /// <summary>Gives a file or folder to another user.</summary>
    /// <exception cref="ServerStartException">The owner cannot be changed.</exception>
    public static void ChangeOwner(string path, uint user, uint group)
    {
        if (lchown(path, user, group) != 0)
        {
            var reason = Marshal.GetPInvokeErrorMessage(Marshal.GetLastPInvokeError());
            throw new ServerStartException($"{path} could not be given to user {user}: {reason}.");
        }
    }

    /// <summary>The owner of a file, without following a link; null when there is none.</summary>
    public static FileOwner? OwnerOf(string path)
    {
        // struct statx has the same layout on every platform, unlike struct stat: uid at byte 20, gid at 24, mode at 28,
        // inode at 32, device at 136 (Linux manual pages, statx(2)).
        var record = new byte[256];
        return statx(AtCurrentFolder, path, NoFollow, BasicStats, record) != 0 ? null : new FileOwner(
            Read(record, 20),
            Read(record, 24),
            (UnixFileMode)(Read16(record, 28) & 0xfff),
            (Read16(record, 28) & 0xf000) == 0xa000);
    }

    /// <summary>What tells one folder from all others, however it is written or linked; null when it cannot be looked at.</summary>
    public static FolderIdentity? IdentityOf(string path)
    {
        var record = new byte[256];
        return statx(AtCurrentFolder, path, 0, BasicStats, record) != 0
            ? null
            : new FolderIdentity(Read(record, 32), Read(record, 36), Read(record, 136), Read(record, 140));
    }

    /// <summary>Forces a folder's names to disk, so that a file that was renamed in it keeps its new name after a power cut.</summary>
    public static void SyncFolder(string folder)
    {
        var handle = open(folder, CloseOnExec);
        if (handle < 0)
        {
            return;
        }

        // Some file systems can't; the file itself is on disk already.
        _ = fsync(handle);
        _ = close(handle);
    }

    private static uint Read(byte[] record, int at) =>
        BitConverter.IsLittleEndian
            ? BinaryPrimitives.ReadUInt32LittleEndian(record.AsSpan(at))
            : BinaryPrimitives.ReadUInt32BigEndian(record.AsSpan(at));

    private static ushort Read16(byte[] record, int at) =>
        BitConverter.IsLittleEndian
            ? BinaryPrimitives.ReadUInt16LittleEndian(record.AsSpan(at))
            : BinaryPrimitives.ReadUInt16BigEndian(record.AsSpan(at));

    [DllImport("libc")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern uint geteuid();

    [DllImport("libc", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int open([MarshalAs(UnmanagedType.LPUTF8Str)] string path, int flags);

    [DllImport("libc", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int fsync(int handle);

    [DllImport("libc", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int close(int handle);

    [DllImport("libc", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int kill(int process, int signal);

    [DllImport("libc", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int lchown([MarshalAs(UnmanagedType.LPUTF8Str)] string path, uint user, uint group);

    [DllImport("libc", SetLastError = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int statx(
        int folder, [MarshalAs(UnmanagedType.LPUTF8Str)] string path, int flags, uint mask, [Out] byte[] record);
}

/// <summary>Who owns a file and what its mode bits are.</summary>
internal readonly record struct FileOwner(uint User, uint Group, UnixFileMode Mode, bool IsLink);

/// <summary>The two halves of the inode number, and the device.</summary>
internal readonly record struct FolderIdentity(uint InodeLow, uint InodeHigh, uint DeviceMajor, uint DeviceMinor);
