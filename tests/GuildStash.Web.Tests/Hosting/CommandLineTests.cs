using GuildStash.Web.Infrastructure.Hosting;
using Xunit;

namespace GuildStash.Web.Tests.Hosting;

public sealed class CommandLineTests
{
    private readonly Dictionary<string, string> _environment = [];
    private readonly StringWriter _output = new();
    private readonly StringWriter _errors = new();

    [Fact]
    public void KnownWords_None_ServesLocallyWithTheDefaults()
    {
        var options = Read();

        Assert.Equal(AppCommand.Serve, options.Command);
        Assert.Equal(5080, options.Port);
        Assert.Equal(Path.GetFullPath("data"), options.DataDirectory);
        Assert.Equal("http://localhost:5080", options.ListenUrl);
        Assert.Null(options.Database);
        Assert.Null(options.PublicUrl);
        Assert.False(options.Demo);
    }

    [Fact]
    public void KnownWords_All_AreTaken()
    {
        var options = Read(
            "--demo", "--port", "8080", "--data", "/srv/stash", "--database", "Host=db;Database=stash;Username=u;Password=p",
            "--public-url", "https://stash.example.org/", "--bind", "::1");

        Assert.True(options.Demo);
        Assert.Equal(8080, options.Port);
        Assert.Equal("/srv/stash", options.DataDirectory);
        Assert.Equal("Host=db;Database=stash;Username=u;Password=p", options.Database);
        Assert.Equal("https://stash.example.org", options.PublicUrl);
        Assert.Equal("http://[::1]:8080", options.ListenUrl);
    }

    [Theory]
    [InlineData(AppCommand.SeedDemo, "seed-demo", "--data", "/srv/stash")]
    [InlineData(AppCommand.SeedDemo, "--data", "/srv/stash", "seed-demo")]
    [InlineData(AppCommand.Check, "check", "--data=/srv/stash")]
    [InlineData(AppCommand.Token, "token", "--email", "admin@example.org", "--name", "scale", "--data", "/srv/stash")]
    public void KnownWords_AdminCommands_TakeTheDataFolder(AppCommand command, params string[] words)
    {
        var options = Read(words);

        Assert.Equal(command, options.Command);
        Assert.Equal("/srv/stash", options.DataDirectory);
        Assert.Equal(command == AppCommand.Token ? "admin@example.org" : null, options.Email);
        Assert.Equal(command == AppCommand.Token ? "scale" : null, options.TokenName);
    }

    [Theory]
    [InlineData("new-password", "--email", "admin@example.org", "--public-url", "https://stash.example.org/", "--port", "8080", "--data", "/srv/stash")]
    [InlineData("--public-url", "https://stash.example.org", "--port", "8080", "new-password", "--data=/srv/stash", "--email=admin@example.org")]
    public void KnownWords_NewPassword_TakesAPersonAndTheAddressOfTheSite(params string[] words)
    {
        var options = Read(words);

        Assert.Equal((AppCommand.NewPassword, "admin@example.org", null), (options.Command, options.Email, options.TokenName));
        Assert.Equal(("https://stash.example.org", 8080, "/srv/stash"), (options.PublicUrl, options.Port, options.DataDirectory));
    }

    [Theory]
    [InlineData(AppCommand.Backup, "backup", "/srv/out/guild.zip", "--data", "/srv/stash")]
    [InlineData(AppCommand.Restore, "--data", "/srv/stash", "restore", "/srv/out/guild.zip")]
    [InlineData(AppCommand.Export, "export", "--data=/srv/stash", "/srv/out/guild.zip")]
    public void KnownWords_SafeKeeping_TakesAFileAndTheDataFolder(AppCommand command, params string[] words)
    {
        var options = Read(words);

        Assert.Equal((command, "/srv/stash", "/srv/out/guild.zip"), (options.Command, options.DataDirectory, options.File));
    }

    [Theory]
    [InlineData("/srv/stash/backups", "--data", "/srv/stash")]
    [InlineData("/srv/safe", "--data", "/srv/stash", "--backups", "/srv/safe")]
    [InlineData(null, "--database", "Host=db;Database=stash")]
    [InlineData("/srv/safe", "--database", "Host=db;Database=stash", "--backups", "/srv/safe")]
    public void KnownWords_Backups_GoBelowTheDataFolderOrWhereTold(string? expected, params string[] words) =>
        Assert.Equal(expected, Read(words).Backups);

    [Fact]
    public void KnownEnvironment_FillsWhatTheWordsLeaveOut()
    {
        _environment["GUILDSTASH_PORT"] = "9000";
        _environment["GUILDSTASH_DATA"] = "/srv/stash";
        _environment["GUILDSTASH_BIND"] = "*";
        _environment["GUILDSTASH_PUBLIC_URL"] = "http://stash.example.org";
        _environment["GUILDSTASH_PROXIES"] = "127.0.0.1, 10.0.0.0/8,";
        _environment["GUILDSTASH_BACKUPS"] = "/srv/safe";
        _environment["GUILDSTASH_DATABASE"] = "Host=db;Database=stash";
        _environment["GUILDSTASH_APP_DATABASE"] = "Host=db;Database=stash;Username=lesser";

        var options = Read("--port", "9001");

        Assert.Equal(9001, options.Port);
        Assert.Equal("/srv/stash", options.DataDirectory);
        Assert.Equal("http://*:9001", options.ListenUrl);
        Assert.Equal("http://stash.example.org", options.PublicUrl);
        Assert.Equal(["127.0.0.1", "10.0.0.0/8"], options.Proxies);
        Assert.Equal("/srv/safe", options.Backups);
        Assert.Equal("Host=db;Database=stash", options.Database);
        Assert.Equal("Host=db;Database=stash;Username=lesser", options.AppDatabase);
    }

    [Theory]
    [InlineData("--port is '0'", "--port", "0")]
    [InlineData("--port is '65536'", "--port", "65536")]
    [InlineData("--port is '-1'", "--port=-1")]
    [InlineData("--port is '5 080'", "--port", "5 080")]
    [InlineData("--port", "--port")]
    [InlineData("--public-url is 'stash.example.org'", "--public-url", "stash.example.org")]
    [InlineData("--public-url is 'ftp://stash.example.org'", "--public-url", "ftp://stash.example.org")]
    [InlineData("--bind is 'example'", "--bind", "example")]
    [InlineData("--data is ''", "--data", "")]
    [InlineData("--email is missing", "token", "--name", "scale")]
    [InlineData("--name is missing", "token", "--email", "admin@example.org", "--name", " ")]
    [InlineData("--email is missing", "new-password")]
    [InlineData("'--name'", "new-password", "--email", "admin@example.org", "--name", "scale")]
    [InlineData("FILE is ''", "backup", "")]
    [InlineData("FILE is '/srv/out/'", "restore", "/srv/out/")]
    [InlineData("'export'", "export")]
    [InlineData("'serve'", "serve")]
    [InlineData("'--demo'", "check", "--demo")]
    public void InvalidWords_AreRefusedInOneLine(string expected, params string[] words)
    {
        var outcome = CommandLine.Parse(words, _environment.GetValueOrDefault, _output, _errors);

        Assert.Null(outcome.Options);
        Assert.Equal(2, outcome.ExitCode);
        Assert.Contains(expected, _errors.ToString());
        Assert.Single(_errors.ToString().TrimEnd().Split('\n'));
    }

    [Theory]
    [InlineData("GUILDSTASH_PORT", "many")]
    [InlineData("GUILDSTASH_PROXIES", "127.0.0.1 10.0.0.1")]
    [InlineData("GUILDSTASH_BIND", "0.0.0.0/0")]
    public void InvalidEnvironment_IsRefusedNamingTheVariable(string variable, string value)
    {
        _environment[variable] = value;

        var outcome = CommandLine.Parse([], _environment.GetValueOrDefault, _output, _errors);

        Assert.Equal(2, outcome.ExitCode);
        Assert.Contains($"{variable} is '{value}'", _errors.ToString());
    }

    [Theory]
    [InlineData("Host=db;Password=sesame;Frob=1")]
    [InlineData("Password=sesame")]
    [InlineData("postgres://user:sesame@db/stash")]
    public void InvalidConnection_IsRefusedWithoutItsPassword(string connection)
    {
        var outcome = CommandLine.Parse(["--database", connection], _environment.GetValueOrDefault, _output, _errors);

        Assert.Equal(2, outcome.ExitCode);
        Assert.Contains("not a connection string", _errors.ToString());
        Assert.DoesNotContain("sesame", _errors.ToString());
    }

    [Fact]
    public void KnownWords_Help_TellsAndEndsWell()
    {
        var outcome = CommandLine.Parse(["--help"], _environment.GetValueOrDefault, _output, _errors);

        Assert.Null(outcome.Options);
        Assert.Equal(0, outcome.ExitCode);
        Assert.Contains("--public-url", _output.ToString());
        Assert.Contains("seed-demo", _output.ToString());
    }

    private AppOptions Read(params string[] words)
    {
        var outcome = CommandLine.Parse(words, _environment.GetValueOrDefault, _output, _errors);
        Assert.Equal("", _errors.ToString());
        Assert.NotNull(outcome.Options);
        return outcome.Options;
    }
}
