using GuildStash.Web.Infrastructure.Security;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure.Security;

/// <summary>The guide prints the table of rights as the program has it.</summary>
public sealed class RightsGuideTests
{
    private const string Begin = "after changing the table -->\n";
    private const string End = "<!-- end of rights -->";

    [Fact]
    public async Task Guide_WhenComparedWithTheTable_PrintsItWhole()
    {
        string file = Path.Combine(Root(), "docs", "security.md");
        string guide = await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken);
        int begin = guide.IndexOf(Begin, StringComparison.Ordinal) + Begin.Length;
        int end = guide.IndexOf(End, StringComparison.Ordinal);
        if (Environment.GetEnvironmentVariable("GUILDSTASH_WRITE_GUIDE") == "1")
        {
            await File.WriteAllTextAsync(file, guide[..begin] + Rights.Markdown() + guide[end..], TestContext.Current.CancellationToken);
            return;
        }

        Assert.Equal(Rights.Markdown(), guide[begin..end]);
    }

    private static string Root()
    {
        DirectoryInfo? at = new(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "GuildStash.sln")))
        {
            at = at.Parent;
        }

        return at?.FullName ?? throw new InvalidOperationException("The tests don't lie inside the repository.");
    }
}
