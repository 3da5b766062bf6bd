using System.Text.RegularExpressions;
using Xunit;

namespace GuildStash.Architecture.Tests;

/// <summary>House rules that only the text of the sources shows.</summary>
public sealed partial class SourceTests
{
    private const int LongestFile = 400;

    [Fact]
    public void Files_FitOnAFewScreens()
    {
        List<(string Path, string[] Lines)> files = [.. SourceTree.Files(".cs", ".razor", ".css", ".js")];
        Assert.True(files.Count > 200, $"Only {files.Count} files were read.");
        Assert.Empty(files.Where(f => f.Lines.Length > LongestFile && !IsMade(f.Path)).Select(f => $"{f.Path}: {f.Lines.Length} lines"));
    }

    [Fact]
    public void Sources_HoldNoUnfinishedWork()
    {
        Assert.Matches(Unfinished(), "throw new " + "NotImplemented" + "Exception();");
        Assert.Empty(Offending(Unfinished(), ".cs", ".razor", ".css", ".js"));
    }

    [Fact]
    public void Namespaces_ArePlainLinesBelowTheUsings()
    {
        Assert.Equal([2], NotPlain(["namespace Here;", "using System;"]));
        Assert.Equal([1, 3], NotPlain(["namespace Here", "{", "    using System;"]));
        Assert.Empty(SourceTree.Files(".cs")
            .Where(f => !IsMade(f.Path))
            .SelectMany(f => NotPlain(f.Lines).Select(line => $"{f.Path}:{line}: write \"namespace Name;\" below all \"using\" lines")));
    }

    // Two rows that say the same are equal where they are records, and a renderer that meets a key twice gives the page up.
    [Fact]
    public void Keys_OfTypedRows_AreTheObjectsThemselves()
    {
        Assert.Matches(KeyOfAnObject(), "<li @key=\"row\">");
        Assert.Matches(KeyOfAnObject(), "<li @key=\"form.Rows[i]\">");
        Assert.DoesNotMatch(KeyOfAnObject(), "<li @key=\"new RowKey(row)\"><p @key=\"row.Id\">");
        Assert.Empty(Offending(KeyOfAnObject(), ".razor"));
    }

    [Fact]
    public void Usings_AreInOrder()
    {
        Assert.False(AreInOrder(["using Here.Kits;", "using Here.Inventory;"]));
        Assert.True(AreInOrder(["using System;", "using Bunit;", "using Here.A;", "using Here.A.B;", "using Here.AB;"]));
        Assert.Empty(SourceTree.Files(".cs").Where(f => !AreInOrder(f.Lines)).Select(f => $"{f.Path}: run dotnet format, which sorts its \"using\" lines"));
    }

    [Fact]
    public void Pages_LoadNothingFromElsewhere()
    {
        Assert.Matches(FromElsewhere(), "<script src=" + "\"https://cdn.example.org/x.js\">");
        Assert.Empty(Offending(FromElsewhere(), ".razor", ".css", ".js"));
    }

    /// <summary>A source that is disposed throws when it is asked for its token, and with it the next page's circuit is gone.</summary>
    [Fact]
    public void Components_LeaveByADeparture()
    {
        Assert.Matches(OwnSource(), "private readonly CancellationTokenSource _gone = " + "new();");
        Assert.Empty(Offending(OwnSource(), ".razor"));
    }

    [Fact]
    public void Tests_NeverSleep()
    {
        Assert.Matches(Sleeps(), "await Task" + ".Delay(100);");

        // Processes that are killed and born anew can only be asked again and again; their tests poll for a state, with a deadline.
        Assert.DoesNotContain(Offending(Sleeps(), ".cs"), line => line.StartsWith("tests/", StringComparison.Ordinal)
            && !line.StartsWith("tests/GuildStash.Data.Tests/Server/", StringComparison.Ordinal));
    }

    [Fact]
    public void Circuits_AreNeverBlocked()
    {
        Assert.Matches(Blocks(), "Read" + "Async().GetAwaiter().GetResult();");

        // A circuit runs one thing at a time: whoever blocks it for a task that must go on in it waits for good. The same
        // holds for an assertion that a component test runs while the page renders.
        Assert.DoesNotContain(Offending(Blocks(), ".cs", ".razor"), line => line.StartsWith("src/GuildStash.Web/", StringComparison.Ordinal)
            || line.StartsWith("tests/GuildStash.Web.Tests/", StringComparison.Ordinal));
    }

    [Fact]
    public void Web_TellsLengthByTheGuildsOwnTable()
    {
        Assert.Matches(StandardTable(), "YardageEstimator.Estimate(lot, WeightClassTable" + ".Default)");

        // One place decides which table is in force; nothing beside it may estimate by another one.
        Assert.DoesNotContain(Offending(StandardTable(), ".cs", ".razor"), line => line.StartsWith("src/GuildStash.Web/", StringComparison.Ordinal)
            && !line.StartsWith("src/GuildStash.Web/Infrastructure/Work/GuildYardage.cs:", StringComparison.Ordinal));
    }

    /// <summary>Lines, counted from 1, that open a namespace with a block, or use another one within it.</summary>
    /// <summary>Written by EF Core's tools.</summary>
    /// <summary>As dotnet format sorts them: System first, then part by part.</summary>
    private static bool AreInOrder(IEnumerable<string> lines)
    {
        string[] names = [.. lines.Where(line => PlainUsing().IsMatch(line)).Select(line => line[6..^1])];
        return names.SequenceEqual(names.OrderBy(name => name.Split('.')[0] != "System").ThenBy(name => name.Replace('.', '\0'), StringComparer.OrdinalIgnoreCase));
    }

    private static bool IsMade(string path) => path.StartsWith("src/GuildStash.Data/Migrations/", StringComparison.Ordinal) || path.StartsWith("src/GuildStash.Data/CompiledModel/", StringComparison.Ordinal);

    private static IEnumerable<int> NotPlain(string[] lines)
    {
        int space = Array.FindIndex(lines, line => line.StartsWith("namespace ", StringComparison.Ordinal));
        return lines.Select((line, i) => (line, i))
            .Where(l => (l.i == space && !l.line.EndsWith(';')) || (space >= 0 && l.i > space && UsingDirective().IsMatch(l.line)))
            .Select(l => l.i + 1);
    }

    private static List<string> Offending(Regex pattern, params string[] endings) =>
        [.. SourceTree.Files(endings)
            .Where(f => !f.Path.EndsWith("/SourceTests.cs", StringComparison.Ordinal))
            .SelectMany(f => f.Lines.Select((line, i) => (f.Path, Line: line, Number: i + 1)))
            .Where(l => pattern.IsMatch(l.Line))
            .Select(l => $"{l.Path}:{l.Number}: {l.Line.Trim()}")];

    [GeneratedRegex(@"^\s*(global )?using (static )?[\w.]+( = [\w.<>,\[\] ]+)?;\s*$")]
    private static partial Regex UsingDirective();

    [GeneratedRegex(@"NotImplementedException|\bTODO\b|\bFIXME\b|\bHACK\b|Skip\s*=\s*""|Assert\.True\(true")]
    private static partial Regex Unfinished();

    [GeneratedRegex(@"(src|href)\s*=\s*""https?://|url\(\s*['""]?https?://|@import\s+['""]?https?://|\bimport\s.*https?://")]
    private static partial Regex FromElsewhere();

    [GeneratedRegex(@"WeightClassTable\.Default|YardageRules\.Standard|YardageEstimator\.Estimate\(|NextMeasurement\.For\(|YardageModel\.TryFind")]
    private static partial Regex StandardTable();

    [GeneratedRegex(@"Thread\.Sleep|Task\.Delay|WaitForTimeoutAsync")]
    private static partial Regex Sleeps();

    [GeneratedRegex(@"@key=""@?(?!code""|title"")[a-z]\w*([\w.]*\[\w+\])?""")]
    private static partial Regex KeyOfAnObject();

    [GeneratedRegex(@"readonly CancellationTokenSource|new CancellationTokenSource\(")]
    private static partial Regex OwnSource();

    [GeneratedRegex(@"\.GetResult\(\)|\.Wait\(\)|Async\([^;]*\)\.Result\b|Task\.Wait(All|Any)\(")]
    private static partial Regex Blocks();

    [GeneratedRegex(@"^using [\w.]+;$")]
    private static partial Regex PlainUsing();
}
