namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Where to go after signing in. A link from outside must not lead a person away from here with it.</summary>
public static class LocalAddress
{
    public const string Home = "/";

    /// <summary>The address when it is a path on this site, else the start page.</summary>
    /// <remarks>Browsers read "//host" and "/\host" as another site and drop tabs and line breaks before they look.</remarks>
    public static string OrHome(string? address) =>
        address is ['/', ..] && !address.StartsWith("//", StringComparison.Ordinal) && !address.Contains('\\', StringComparison.Ordinal) && !address.Any(char.IsControl)
            ? address
            : Home;
}
