using System.Runtime.CompilerServices;

namespace GuildStash.Architecture.Tests;

/// <summary>The source files, found from where this file was compiled.</summary>
internal static class SourceTree
{
    public static string Top { get; } = Path.GetFullPath(Path.Combine(Path.GetDirectoryName(Here())!, "..", ".."));

    /// <summary>Files of src and tests with one of the endings, without what the build made; path from the top, with forward slashes.</summary>
    public static IEnumerable<(string Path, string[] Lines)> Files(params string[] endings) =>
        new[] { "src", "tests" }
            .SelectMany(folder => Directory.EnumerateFiles(Path.Combine(Top, folder), "*", SearchOption.AllDirectories))
            .Select(file => Path.GetRelativePath(Top, file).Replace('\\', '/'))
            .Where(file => !file.Contains("/bin/", StringComparison.Ordinal) && !file.Contains("/obj/", StringComparison.Ordinal))
            .Where(file => endings.Any(ending => file.EndsWith(ending, StringComparison.Ordinal)))
            .Select(file => (file, File.ReadAllLines(Path.Combine(Top, file))));

    private static string Here([CallerFilePath] string path = "") => path;
}
