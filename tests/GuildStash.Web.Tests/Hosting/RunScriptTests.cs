using System.Diagnostics;
using Xunit;

namespace GuildStash.Web.Tests.Hosting;

/// <summary>What run.sh says and answers before there is anything to build.</summary>
public sealed class RunScriptTests : IDisposable
{
    private readonly DirectoryInfo _programs = Directory.CreateTempSubdirectory("gs-programs-");

    [Fact]
    public async Task Run_WhenAskedForHelp_TellsEveryWord()
    {
        var (exit, output, errors) = await RunAsync(Environment.GetEnvironmentVariable("PATH")!, "--help");

        Assert.Equal(0, exit);
        Assert.Equal("", errors);
        foreach (var word in new[] { "--demo", "--port", "--data", "--database", "--public-url", "--bind", "--backups", "seed-demo", "token", "new-password", "check", "backup", "restore", "export" })
        {
            Assert.Contains(word, output);
        }
    }

    [Fact]
    public async Task Run_WhenSdkIsMissing_SaysSoInOneLine()
    {
        foreach (var program in new[] { "bash", "dirname", "grep", "sed", "id" })
        {
            File.CreateSymbolicLink(Path.Combine(_programs.FullName, program), "/usr/bin/" + program);
        }

        var (exit, output, errors) = await RunAsync(_programs.FullName);

        Assert.Equal(2, exit);
        Assert.Equal("", output);
        Assert.Contains(".NET SDK 10, which was not found", errors);
        Assert.Single(errors.TrimEnd().Split('\n'));
    }

    public void Dispose() => _programs.Delete(recursive: true);

    private static async Task<(int Exit, string Output, string Errors)> RunAsync(string path, params string[] words)
    {
        var description = new ProcessStartInfo("/bin/bash")
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        description.ArgumentList.Add(Path.Combine(TopFolder(), "run.sh"));
        foreach (var word in words)
        {
            description.ArgumentList.Add(word);
        }

        description.Environment["PATH"] = path;
        description.Environment["HOME"] = "/nonexistent";
        description.Environment.Remove("DOTNET_ROOT");
        using var process = Process.Start(description)!;
        Task<string> errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        string output = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (process.ExitCode, output, await errors);
    }

    private static string TopFolder()
    {
        var folder = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(folder, "run.sh")))
        {
            folder = Path.GetDirectoryName(folder.TrimEnd('/')) ?? throw new InvalidOperationException("run.sh was not found above the tests.");
        }

        return folder;
    }
}
