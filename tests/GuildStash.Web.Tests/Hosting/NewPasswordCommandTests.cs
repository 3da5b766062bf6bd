using System.Diagnostics;
using GuildStash.TestSupport;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Hosting;

/// <summary>The console's way to a new password: a program of its own makes the link, the site that runs beside it takes it.</summary>
public sealed class NewPasswordCommandTests(PostgresFixture postgres)
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Run_WhenTheOnlyAdministratorForgot_PrintsALinkAloneThatTheSiteTakes()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor visitor = await room.SignInAsync("member@example.org");

        var (exit, output, errors) = await RunAsync(room.Guild, "--email", " Admin@Example.org ", "--public-url", "https://stash.example.org");

        Assert.Equal((0, ""), (exit, errors));
        string link = Assert.Single(output.TrimEnd('\n').Split('\n'));
        Assert.StartsWith("https://stash.example.org/account/new-password/", link, StringComparison.Ordinal);
        using HttpResponseMessage chosen = await visitor.PostAsync(link["https://stash.example.org".Length..], "new-password", ("password", "quite-another-9"));
        Assert.Equal("/", visitor.Target(chosen));
        Assert.Equal("Hello, Ada Admin", (await visitor.OpenAsync("/")).QuerySelector("h1")?.TextContent);
    }

    [Fact]
    public async Task Run_WhenNobodyHasTheAddress_SaysSoInOneLine()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        var (exit, output, errors) = await RunAsync(room, "--email", "nobody@example.org");

        Assert.Equal((2, ""), (exit, output));
        Assert.Equal("There is no active account with the address nobody@example.org.", errors.TrimEnd());
    }

    [Fact]
    public async Task Run_WhenNoAddressOfTheSiteIsSaid_WarnsBesideTheLink()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);

        var (exit, output, errors) = await RunAsync(room, "--email", "member@example.org", "--port", "8080");

        Assert.Equal(0, exit);
        Assert.StartsWith("http://localhost:8080/account/new-password/", output, StringComparison.Ordinal);
        Assert.Equal("This link opens on this machine only, until --public-url says under which address others reach the site.", errors.TrimEnd().Split('\n')[^1]);
    }

    private static async Task<(int Exit, string Output, string Errors)> RunAsync(GuildRoom room, params string[] words)
    {
        ProcessStartInfo description = new("dotnet", [typeof(GuildStashApp).Assembly.Location, "new-password", .. words])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        description.Environment["GUILDSTASH_DATABASE"] = room.OwnerConnectionString;
        description.Environment["GUILDSTASH_APP_DATABASE"] = room.AppConnectionString;
        // What the program shares with the site is the database, and no folder of a user.
        description.Environment["HOME"] = "/nonexistent";
        using Process process = Process.Start(description)!;
        Task<string> errors = process.StandardError.ReadToEndAsync(Cancellation);
        string output = await process.StandardOutput.ReadToEndAsync(Cancellation);
        await process.WaitForExitAsync(Cancellation);
        return (process.ExitCode, output, await errors);
    }
}
