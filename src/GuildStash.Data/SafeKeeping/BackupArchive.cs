using System.IO.Compression;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;

namespace GuildStash.Data.SafeKeeping;

/// <summary>An archive that <see cref="Backup"/> wrote, opened for reading. What it holds is looked at before anything is done with it.</summary>
public sealed class BackupArchive : IAsyncDisposable
{
    internal const string DumpName = "guild.dump";
    internal const string ManifestName = "manifest.json";
    internal const string ManifestSumName = "manifest.sha256";

    /// <summary>A manifest is a few kilobytes; more than this is none.</summary>
    private const long LongestManifest = 1 << 24;

    private readonly Stream? _file;
    private readonly ZipArchive _zip;
    private readonly string _name;

    private BackupArchive(string name, Stream? file, ZipArchive zip, BackupManifest manifest) => (_name, _file, _zip, Manifest) = (name, file, zip, manifest);

    public BackupManifest Manifest { get; }

    /// <summary>Opens an archive and compares every checksum.</summary>
    /// <exception cref="SafeKeepingException">It is none, or damaged.</exception>
    public static async Task<BackupArchive> OpenAsync(string path, CancellationToken cancellation)
    {
        FileStream? file = null;
        try
        {
            file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16, useAsync: true);
            BackupArchive archive = await OpenAsync(file, path, ownsFile: true, cancellation);
            await archive.VerifyAsync(cancellation);
            return archive;
        }
        catch (Exception fault)
        {
            if (file is not null)
            {
                await file.DisposeAsync();
            }

            throw fault is IOException or UnauthorizedAccessException && file is null
                ? new SafeKeepingException($"The file {path} can't be read: {fault.Message}", fault)
                : fault is SafeKeepingException or OperationCanceledException ? fault : Damaged(path, fault.Message, fault);
        }
    }

    internal static Task<BackupArchive> OpenAsync(Stream stream, string name, CancellationToken cancellation)
    {
        stream.Position = 0;
        return OpenAsync(stream, name, ownsFile: false, cancellation);
    }

    /// <summary>Refuses what a newer program made.</summary>
    /// <param name="knownMigrations">All migrations of this program.</param>
    /// <exception cref="SafeKeepingException">The archive's format or schema is newer than this program.</exception>
    public void CheckReadable(IEnumerable<string> knownMigrations)
    {
        if (Manifest.Format != BackupManifest.PresentFormat)
        {
            throw new SafeKeepingException($"{_name} has format {Manifest.Format}, and this program knows {BackupManifest.PresentFormat}: restore it with GuildStash {Manifest.AppVersion} or newer.");
        }

        if (Manifest.Migrations.Except(knownMigrations).FirstOrDefault() is { } unknown)
        {
            throw new SafeKeepingException($"{_name} was made by a newer GuildStash ({Manifest.AppVersion}, schema {unknown}): upgrade this program first, then restore.");
        }
    }

    /// <summary>Refuses a dump of a server newer than the one it is to go to.</summary>
    /// <exception cref="SafeKeepingException">It is newer.</exception>
    public void CheckServer(int major)
    {
        if (Manifest.PostgresMajor > major)
        {
            throw new SafeKeepingException($"{_name} was made by PostgreSQL {Manifest.PostgresMajor}, and the server here is PostgreSQL {major}: restore it on version {Manifest.PostgresMajor} or newer.");
        }
    }

    /// <summary>The dump from its beginning.</summary>
    internal Task<Stream> OpenDumpAsync(CancellationToken cancellation) => _zip.GetEntry(DumpName)!.OpenAsync(cancellation);

    internal async Task VerifyAsync(CancellationToken cancellation)
    {
        foreach (ArchiveEntry entry in Manifest.Entries)
        {
            ZipArchiveEntry there = _zip.GetEntry(entry.Name) ?? throw Damaged(_name, $"{entry.Name} is missing in it");
            await using Stream content = await there.OpenAsync(cancellation);
            (long size, string sum) = await Backup.CopyAsync(content, Stream.Null, null, cancellation);
            if (size != entry.Size || sum != entry.Sha256)
            {
                throw Damaged(_name, $"{entry.Name} has {size} bytes and not the checksum that the manifest names");
            }
        }

        HashSet<string> known = [ManifestName, ManifestSumName, .. Manifest.Entries.Select(e => e.Name)];
        if (!Manifest.Entries.Any(e => e.Name == DumpName))
        {
            throw Damaged(_name, $"{DumpName} is missing in it");
        }

        if (_zip.Entries.Count != known.Count || _zip.Entries.FirstOrDefault(e => !known.Contains(e.FullName)) is not null)
        {
            throw Damaged(_name, "it holds something that its manifest does not name");
        }
    }

    public async ValueTask DisposeAsync()
    {
        await _zip.DisposeAsync();
        if (_file is not null)
        {
            await _file.DisposeAsync();
        }
    }

    private static async Task<BackupArchive> OpenAsync(Stream stream, string name, bool ownsFile, CancellationToken cancellation)
    {
        ZipArchive? zip = null;
        try
        {
            zip = await ZipArchive.CreateAsync(stream, ZipArchiveMode.Read, leaveOpen: true, entryNameEncoding: null, cancellation);
            byte[] text = await ReadAsync(zip, ManifestName, name, cancellation);
            string sum = Encoding.ASCII.GetString(await ReadAsync(zip, ManifestSumName, name, cancellation)).Trim();
            if (sum != Convert.ToHexStringLower(SHA256.HashData(text)))
            {
                throw Damaged(name, $"{ManifestName} has not the checksum in {ManifestSumName}");
            }

            BackupManifest manifest = JsonSerializer.Deserialize<BackupManifest>(text, BackupManifest.Json) ?? throw Damaged(name, "its manifest is empty");
            return new BackupArchive(name, ownsFile ? stream : null, zip, manifest);
        }
        catch (Exception fault)
        {
            if (zip is not null)
            {
                await zip.DisposeAsync();
            }

            throw fault is InvalidDataException or JsonException ? Damaged(name, fault.Message, fault) : fault;
        }
    }

    private static async Task<byte[]> ReadAsync(ZipArchive zip, string entry, string name, CancellationToken cancellation)
    {
        ZipArchiveEntry there = zip.GetEntry(entry) ?? throw Damaged(name, $"{entry} is missing in it");
        if (there.Length > LongestManifest)
        {
            throw Damaged(name, $"{entry} is far too long");
        }

        using MemoryStream text = new();
        await using Stream content = await there.OpenAsync(cancellation);
        await content.CopyToAsync(text, cancellation);
        return text.ToArray();
    }

    private static SafeKeepingException Damaged(string name, string what, Exception? cause = null)
    {
        string sentence = $"{name} is no whole back-up of GuildStash ({what.TrimEnd('.')}): nothing was changed; take another one.";
        return cause is null ? new SafeKeepingException(sentence) : new SafeKeepingException(sentence, cause);
    }
}
