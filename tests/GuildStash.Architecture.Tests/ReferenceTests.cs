using System.Reflection;
using GuildStash.Data;
using GuildStash.Domain.Rules;
using GuildStash.Planning;
using GuildStash.Printing;
using GuildStash.Web.Infrastructure;
using Xunit;

namespace GuildStash.Architecture.Tests;

/// <summary>Who may know whom: Domain ← Data, Planning, Printing ← Web.</summary>
public sealed class ReferenceTests
{
    private static readonly Assembly Domain = typeof(Refusal).Assembly;
    private static readonly Assembly Data = typeof(GuildDbContext).Assembly;
    private static readonly Assembly Printing = typeof(PrintTexts).Assembly;
    private static readonly Assembly Planning = typeof(Planner).Assembly;
    private static readonly Assembly Web = typeof(AppSettings).Assembly;

    private static IEnumerable<string> ReferencesOf(Assembly assembly) => assembly.GetReferencedAssemblies().Select(name => name.Name!);

    [Fact]
    public void Domain_KnowsTheBaseLibraryAlone() =>
        Assert.All(ReferencesOf(Domain), name => Assert.True(name.StartsWith("System", StringComparison.Ordinal) || name is "netstandard" or "mscorlib", $"Domain refers to {name}."));

    [Fact]
    public void Printing_KnowsNeitherDataNorWeb() =>
        Assert.DoesNotContain(ReferencesOf(Printing), name => name.StartsWith("GuildStash.", StringComparison.Ordinal) && name != "GuildStash.Domain");

    [Fact]
    public void Planning_KnowsTheDomainAndTheSolverAlone() =>
        Assert.All(ReferencesOf(Planning), name => Assert.True(
            name.StartsWith("System", StringComparison.Ordinal) || name is "GuildStash.Domain" or "Google.OrTools" or "Google.Protobuf", $"Planning refers to {name}."));

    [Fact]
    public void Data_KnowsNeitherPrintingNorWeb() =>
        Assert.DoesNotContain(ReferencesOf(Data), name => name.StartsWith("GuildStash.", StringComparison.Ordinal) && name != "GuildStash.Domain");

    [Fact]
    public void References_AreSeenByTheseTests()
    {
        // Without this a renamed assembly would make the rules above pass by looking at nothing.
        Assert.Contains("GuildStash.Domain", ReferencesOf(Data));
        Assert.Contains("GuildStash.Domain", ReferencesOf(Printing));
        Assert.Contains("GuildStash.Domain", ReferencesOf(Planning));
        Assert.Contains("Google.OrTools", ReferencesOf(Planning));
        Assert.Superset(new HashSet<string> { "GuildStash.Domain", "GuildStash.Data", "GuildStash.Planning", "GuildStash.Printing" }, ReferencesOf(Web).ToHashSet());
    }

    // The planner may watch how long it takes, but what it answers hangs on its input alone.
    [Theory]
    [InlineData("Domain", 30)]
    [InlineData("Planning", 20)]
    public void PureProjects_AskNoClockAndNoUnseededChance(string project, int files)
    {
        string[] barred = ["DateTime.Now", "DateTime.UtcNow", "DateTimeOffset.Now", "DateTimeOffset.UtcNow", "TimeProvider.System", "Random.Shared", "new Random()", "Guid.NewGuid", "File.", "Console."];
        List<string> found = [];
        int read = 0;
        foreach ((string path, string[] lines) in SourceTree.Files(".cs").Where(f => f.Path.StartsWith($"src/GuildStash.{project}/", StringComparison.Ordinal)))
        {
            read++;
            found.AddRange(lines.Where(line => barred.Any(word => line.Contains(word, StringComparison.Ordinal))).Select(line => $"{path}: {line.Trim()}"));
        }

        Assert.True(read > files, $"Only {read} files of {project} were read.");
        Assert.Empty(found);
    }
}
