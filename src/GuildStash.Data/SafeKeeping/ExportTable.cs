using System.Reflection;

namespace GuildStash.Data.SafeKeeping;

/// <summary>A column of the export.</summary>
/// <param name="Unit">For instance "mg"; null where there is none.</param>
public sealed record ExportColumn(string Name, string Meaning, string? Unit);

/// <summary>A table of the export with its columns, and those that are left out.</summary>
public sealed record ExportTable(string Name, string Meaning, IReadOnlyList<ExportColumn> Columns, IReadOnlySet<string> LeftOut)
{
    /// <summary>
    /// What is exported, as a list of what is allowed: a column that nobody put there, such as next year's secret, stays in the house.
    /// A test compares the list with the tables.
    /// </summary>
    public static IReadOnlyList<ExportTable> All { get; }

    /// <summary>Tables that are left out as a whole.</summary>
    public static IReadOnlySet<string> TablesLeftOut { get; }

    static ExportTable() => (All, TablesLeftOut) = Read();

    /// <summary>Reads the list: "= table | meaning", below it "column | meaning | unit" and "! column | why not"; apart from these "! table | why not".</summary>
    private static (IReadOnlyList<ExportTable> Tables, IReadOnlySet<string> LeftOut) Read()
    {
        using Stream list = Assembly.GetExecutingAssembly().GetManifestResourceStream("GuildStash.Data.SafeKeeping.export-tables.txt")!;
        using StreamReader reader = new(list);
        List<ExportTable> tables = [];
        HashSet<string> tablesLeftOut = [];
        foreach (string[] block in reader.ReadToEnd().Split("\n\n", StringSplitOptions.RemoveEmptyEntries).Select(b => b.Split('\n', StringSplitOptions.RemoveEmptyEntries)))
        {
            string[] head = Parts(block[0]);
            if (!head[0].StartsWith("= ", StringComparison.Ordinal))
            {
                tablesLeftOut.UnionWith(block.Select(line => Parts(line)[0][2..]));
                continue;
            }

            List<string[]> lines = [.. block[1..].Select(Parts)];
            tables.Add(new ExportTable(
                head[0][2..],
                head[1],
                [.. lines.Where(l => l[0][0] != '!').Select(l => new ExportColumn(l[0], l[1], l.ElementAtOrDefault(2)))],
                lines.Where(l => l[0][0] == '!').Select(l => l[0][2..]).ToHashSet()));
        }

        return (tables, tablesLeftOut);
    }

    private static string[] Parts(string line) => line.Split('|', StringSplitOptions.TrimEntries);
}
