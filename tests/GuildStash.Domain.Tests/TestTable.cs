using System.Globalization;

namespace GuildStash.Domain.Tests;

/// <summary>Tables of published values that lie beside the tests.</summary>
internal static class TestTable
{
    /// <summary>The rows below the heading, as cells.</summary>
    public static IReadOnlyList<string[]> Read(string name)
    {
        using Stream stream = typeof(TestTable).Assembly.GetManifestResourceStream($"GuildStash.Domain.Tests.{name}")
            ?? throw new InvalidOperationException($"No table {name}.");
        using StreamReader reader = new(stream);
        return [.. reader.ReadToEnd()
            .Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            .Where(line => line[0] != '#')
            .Skip(1)
            .Select(line => line.Split(','))];
    }

    public static double Number(string cell) => double.Parse(cell, CultureInfo.InvariantCulture);
}
