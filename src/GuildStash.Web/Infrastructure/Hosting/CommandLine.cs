using System.CommandLine;
using GuildStash.Domain.People;

namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>What came of reading the command line: options to act on, or an exit code because all is said already.</summary>
public sealed record CommandLineOutcome(AppOptions? Options, int ExitCode);

/// <summary>The program's words and options.</summary>
public sealed class CommandLine
{
    /// <summary>The program could not do as asked: bad words, missing programs, a port in use, an unwritable folder.</summary>
    public const int CannotStart = 2;

    /// <summary>The option with the address that phones reach.</summary>
    public const string PublicUrl = "--public-url";

    private readonly Option<string?> _port = Text("--port", "N", "Port to listen on; 5080 unless told (GUILDSTASH_PORT).");
    private readonly Option<string?> _data = Text("--data", "DIR", "Data folder with the embedded database; ./data unless told (GUILDSTASH_DATA).");
    private readonly Option<string?> _database = Text("--database", "CONNECTION", "Connection string of a PostgreSQL server to use instead of the embedded one (GUILDSTASH_DATABASE).");
    private readonly Option<string?> _publicUrl = Text(PublicUrl, "URL", "Address under which phones reach the site; QR codes point to it (GUILDSTASH_PUBLIC_URL).");
    private readonly Option<string?> _bind = Text("--bind", "ADDR", "Address to listen on: localhost, * for all, or an IP address; localhost unless told (GUILDSTASH_BIND).");
    private readonly Option<string?> _backups = Text("--backups", "DIR", "Folder of the nightly back-ups; the data folder's backups unless told, and none for a server named with --database (GUILDSTASH_BACKUPS).");
    private readonly Option<bool> _demo = new("--demo") { Description = "Load the invented guild into an empty database first." };
    private readonly Option<string?> _email = Text("--email", "E", "The e-mail address of the person for whom it is.");
    private readonly Option<string?> _name = Text("--name", "N", "What to call the token.");
    private readonly Option<string?> _scope = Text("--scope", "S", "How far the token reaches: read, or write (all that its person may); write unless told.");
    private readonly Command _seedDemo = new("seed-demo", "Load the invented guild into an empty database.");
    private readonly Command _token = new("token", "Make an API token and print it.");
    private readonly Command _newPassword = new("new-password", "Make a link by which a person chooses a new password, and print it; it holds 24 hours.");
    private readonly Command _check = new("check", "Audit the books.");
    private readonly Command _backup = new("backup", "Write the whole guild into one archive while people go on working.");
    private readonly Command _restore = new("restore", "Load an archive into an empty data folder or a new database.");
    private readonly Command _export = new("export", "Write everything into open files (JSON lines and CSV), so that a guild can leave.");
    private readonly Argument<string> _file = new("FILE") { Description = "The file; one that is there already is never replaced." };
    private readonly RootCommand _root = new("Serves GuildStash, the donation room of a yarn guild.");
    private readonly Func<string, string?> _environment;

    private CommandLine(Func<string, string?> environment)
    {
        _environment = environment;
        foreach (var everywhere in new[] { _data, _database })
        {
            everywhere.Recursive = true;
        }

        foreach (Option option in new Option[] { _port, _data, _database, _publicUrl, _bind, _backups, _demo })
        {
            _root.Options.Add(option);
        }

        _token.Options.Add(_email);
        _token.Options.Add(_name);
        _token.Options.Add(_scope);

        // The link is one of the site, so it needs what the site was started with.
        foreach (Option option in new Option[] { _email, _port, _publicUrl })
        {
            _newPassword.Options.Add(option);
        }

        foreach (var command in new[] { _backup, _restore, _export })
        {
            command.Arguments.Add(_file);
        }

        // Without an action a command with subcommands counts as incomplete.
        _root.SetAction(_ => 0);
        foreach (var command in new[] { _seedDemo, _token, _newPassword, _check, _backup, _restore, _export })
        {
            command.SetAction(_ => 0);
            _root.Subcommands.Add(command);
        }
    }

    /// <summary>Reads the words; help and complaints are printed here.</summary>
    public static CommandLineOutcome Parse(IReadOnlyList<string> words) =>
        Parse(words, Environment.GetEnvironmentVariable, Console.Out, Console.Error);

    /// <summary>As <see cref="Parse(IReadOnlyList{string})"/>, with the surroundings given.</summary>
    public static CommandLineOutcome Parse(
        IReadOnlyList<string> words, Func<string, string?> environment, TextWriter output, TextWriter errors)
    {
        var line = new CommandLine(environment);
        var parsed = line._root.Parse(words);
        try
        {
            if (parsed.Errors is [var first, ..])
            {
                throw new StartupException($"{first.Message} See --help for the words allowed.");
            }

            if (parsed.Action is System.CommandLine.Invocation.SynchronousCommandLineAction { Terminating: true } toldAll
                && toldAll != parsed.CommandResult.Command.Action)
            {
                var exit = parsed.Invoke(new InvocationConfiguration { Output = output, Error = errors });
                return new CommandLineOutcome(null, exit);
            }

            return new CommandLineOutcome(line.Read(parsed), 0);
        }
        catch (StartupException fault)
        {
            errors.WriteLine(fault.Message);
            return new CommandLineOutcome(null, CannotStart);
        }
    }

    private AppOptions Read(ParseResult parsed)
    {
        var command = parsed.CommandResult.Command;
        var asked = command == _seedDemo ? AppCommand.SeedDemo
            : command == _token ? AppCommand.Token
            : command == _newPassword ? AppCommand.NewPassword
            : command == _check ? AppCommand.Check
            : command == _backup ? AppCommand.Backup
            : command == _restore ? AppCommand.Restore
            : command == _export ? AppCommand.Export
            : AppCommand.Serve;
        var isToken = asked == AppCommand.Token;
        var data = OptionValues.Folder(Value(parsed, _data, "GUILDSTASH_DATA"));
        var database = OptionValues.Connection(Value(parsed, _database, "GUILDSTASH_DATABASE"));
        return new AppOptions(
            asked,
            OptionValues.Port(Value(parsed, _port, "GUILDSTASH_PORT")),
            data,
            database,
            OptionValues.Connection(OptionValues.FromEnvironment(_environment, "GUILDSTASH_APP_DATABASE")),
            OptionValues.PublicUrl(Value(parsed, _publicUrl, "GUILDSTASH_PUBLIC_URL")),
            OptionValues.Bind(Value(parsed, _bind, "GUILDSTASH_BIND")),
            asked == AppCommand.Serve && parsed.GetValue(_demo),
            isToken || asked == AppCommand.NewPassword ? OptionValues.Required(parsed.GetValue(_email), "--email", "the person's e-mail address") : null,
            isToken ? OptionValues.Required(parsed.GetValue(_name), "--name", "a name for the token") : null)
        {
            File = asked is AppCommand.Backup or AppCommand.Restore or AppCommand.Export ? OptionValues.File(parsed.GetValue(_file)) : null,
            Backups = Value(parsed, _backups, "GUILDSTASH_BACKUPS") is { } named ? OptionValues.Folder(named)
                : database is null ? Path.Combine(data, "backups")
                : null,
            TokenScope = isToken ? OptionValues.Scope(parsed.GetValue(_scope)) : TokenScope.Write,
            Proxies = OptionValues.Proxies(OptionValues.FromEnvironment(_environment, "GUILDSTASH_PROXIES")),
        };
    }

    private GivenValue? Value(ParseResult parsed, Option<string?> option, string variable) =>
        parsed.GetValue(option) is { } text
            ? new GivenValue(option.Name, text)
            : OptionValues.FromEnvironment(_environment, variable);

    private static Option<string?> Text(string name, string placeholder, string description) =>
        new(name) { Description = description, HelpName = placeholder };
}
