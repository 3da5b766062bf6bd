using System.Globalization;
using System.Net;
using GuildStash.Domain.People;
using Npgsql;

namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>A value as the person wrote it, and where: an option's or an environment variable's name.</summary>
internal sealed record GivenValue(string Source, string Text);

/// <summary>Reads the options' values; each complaint names where the value came from, the value and what is allowed.</summary>
internal static class OptionValues
{
    private const int DefaultPort = 5080;

    public static GivenValue? FromEnvironment(Func<string, string?> environment, string variable) =>
        environment(variable) is { } text && !string.IsNullOrWhiteSpace(text) ? new GivenValue(variable, text) : null;

    public static int Port(GivenValue? given)
    {
        if (given is null)
        {
            return DefaultPort;
        }

        return int.TryParse(given.Text, NumberStyles.None, CultureInfo.InvariantCulture, out var port) && port is >= 1 and <= 65535
            ? port
            : throw Invalid(given, "a whole number from 1 to 65535");
    }

    public static string Folder(GivenValue? given)
    {
        var text = given?.Text ?? "data";
        return !string.IsNullOrWhiteSpace(text) && !text.Contains('\0', StringComparison.Ordinal)
            ? Path.GetFullPath(text)
            : throw Invalid(given!, "the path of a folder");
    }

    public static string File(string? text) =>
        !string.IsNullOrWhiteSpace(text) && !text.Contains('\0', StringComparison.Ordinal) && !Path.EndsInDirectorySeparator(text)
            ? Path.GetFullPath(text)
            : throw Invalid(new GivenValue("FILE", text ?? ""), "the path of a file");

    public static string? Connection(GivenValue? given)
    {
        if (given is null)
        {
            return null;
        }

        // The value may hold a password, so the complaint does not repeat it.
        var complaint = $"The value of {given.Source} is not a connection string: write it like Host=localhost;Port=5432;Database=guildstash;Username=guildstash_owner;Password=secret.";
        try
        {
            var builder = new NpgsqlConnectionStringBuilder(given.Text);
            return string.IsNullOrEmpty(builder.Host) || string.IsNullOrEmpty(builder.Database)
                ? throw new StartupException(complaint)
                : builder.ConnectionString;
        }
        catch (Exception fault) when (fault is ArgumentException or FormatException or KeyNotFoundException)
        {
            throw new StartupException(complaint, fault);
        }
    }

    public static string? PublicUrl(GivenValue? given)
    {
        if (given is null)
        {
            return null;
        }

        var text = given.Text.Trim().TrimEnd('/');
        var isUsable = Uri.TryCreate(text, UriKind.Absolute, out var url)
            && url.Scheme is "http" or "https"
            && url.Query.Length == 0
            && url.Fragment.Length == 0
            && url.UserInfo.Length == 0;
        return isUsable ? text : throw Invalid(given, "an address like https://stash.example.org");
    }

    public static string Bind(GivenValue? given)
    {
        var text = given?.Text.Trim() ?? "localhost";
        return text is "localhost" or "*" || IPAddress.TryParse(text, out _)
            ? text
            : throw Invalid(given!, "localhost, * or an IP address of this machine");
    }

    public static IReadOnlyList<string> Proxies(GivenValue? given)
    {
        var names = given?.Text.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries) ?? [];
        return Array.TrueForAll(names, name => IPAddress.TryParse(name, out _) || IPNetwork.TryParse(name, out _))
            ? names
            : throw Invalid(given!, "a list of IP addresses or networks like 127.0.0.1, 10.0.0.0/8");
    }

    public static TokenScope Scope(string? text) =>
        text is null ? TokenScope.Write
        : TokenScopeTerms.Scopes.TryParse(text, out var scope) ? scope
        : throw Invalid(new GivenValue("--scope", text), string.Join(" or ", TokenScopeTerms.Scopes.Keys));

    public static string Required(string? text, string option, string what) => string.IsNullOrWhiteSpace(text)
        ? throw new StartupException($"{option} is missing: give {what} after it.")
        : text.Trim();

    private static StartupException Invalid(GivenValue given, string allowed) =>
        new($"{given.Source} is '{given.Text}'; allowed is {allowed}.");
}
