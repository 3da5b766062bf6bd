using System.Diagnostics;
using System.Globalization;
using GuildStash.Data.Server;
using Xunit;

namespace GuildStash.Browser.Tests.Faults;

/// <summary>A folder for a program with a database server of its own, on a small disk of its own if wanted.</summary>
internal sealed class DataFolder : IDisposable
{
    private readonly DirectoryInfo _parent = Directory.CreateTempSubdirectory("gs-faults-");
    private readonly bool _isDisk;

    /// <param name="diskMegabytes">Size of the disk; none of its own when null.</param>
    public DataFolder(int? diskMegabytes = null)
    {
        if (diskMegabytes is { } size)
        {
            Run("mount", "-t", "tmpfs", "-o", $"size={size}m", "tmpfs", _parent.FullName);
            _isDisk = true;
        }

        // As root, the database server runs as another user, who must be able to pass through.
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(_parent.FullName, (UnixFileMode)0b111_101_101);
        }
    }

    public string Path => System.IO.Path.Combine(_parent.FullName, "data");

    /// <summary>Whether this user may make a disk.</summary>
    public static bool MayHaveDisk => Environment.UserName == "root";

    private string Ballast => System.IO.Path.Combine(_parent.FullName, "ballast");

    public int PostmasterId() =>
        int.Parse(File.ReadLines(ServerFolders.For(Path).PostmasterFile).First(), CultureInfo.InvariantCulture);

    /// <summary>Fills the disk to the last byte.</summary>
    public void Fill()
    {
        byte[] block = new byte[64 << 10];
        using FileStream ballast = File.Create(Ballast, 1);
        try
        {
            while (true)
            {
                ballast.Write(block);
            }
        }
        catch (IOException)
        {
            // Full.
        }
    }

    public void MakeRoom() => File.Delete(Ballast);

    public void Dispose()
    {
        if (_isDisk)
        {
            Run("umount", "--lazy", _parent.FullName);
        }

        _parent.Delete(recursive: true);
    }

    private static void Run(string program, params string[] words)
    {
        using Process process = Process.Start(program, words);
        process.WaitForExit();
        Assert.Equal(0, process.ExitCode);
    }
}
