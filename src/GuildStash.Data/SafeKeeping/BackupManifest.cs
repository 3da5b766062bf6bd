using System.Text.Json;

namespace GuildStash.Data.SafeKeeping;

/// <summary>One file of the archive besides the manifest itself.</summary>
/// <param name="Size">In bytes.</param>
/// <param name="Sha256">In lower-case hexadecimal digits.</param>
public sealed record ArchiveEntry(string Name, long Size, string Sha256);

/// <summary>What is in an archive, and what the books held at the moment of the dump.</summary>
public sealed record BackupManifest
{
    /// <summary>
    /// The only format so far: the dump, this manifest and the manifest's own checksum. Further entries (the guild's pictures, later)
    /// need no new number, since every entry is named in the manifest; a change that an older program would misread does.
    /// </summary>
    public const int PresentFormat = 1;

    internal static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web) { WriteIndented = true };

    public required int Format { get; init; }

    public required DateTimeOffset MadeAt { get; init; }

    public required string Guild { get; init; }

    /// <summary>Major version of the server whose data this is.</summary>
    public required int PostgresMajor { get; init; }

    /// <summary>Major version of the program that wrote the dump; an older pg_restore may not read it.</summary>
    public required int DumpMajor { get; init; }

    public required string AppVersion { get; init; }

    /// <summary>Names of the migrations that the dumped schema has, the oldest first.</summary>
    public required IReadOnlyList<string> Migrations { get; init; }

    public required IReadOnlyList<ArchiveEntry> Entries { get; init; }

    /// <summary>Rows and sums of balances by name, read in the dump's own snapshot; see <see cref="BookFigures"/>.</summary>
    public required IReadOnlyDictionary<string, long> Figures { get; init; }
}
