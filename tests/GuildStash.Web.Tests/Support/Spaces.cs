namespace GuildStash.Web.Tests.Support;

/// <summary>Pages keep figure and unit, and the parts of a day, together with no-break spaces; tests are written with ordinary ones.</summary>
public static class Spaces
{
    public const char NoBreak = '\u00A0';

    /// <summary>The text with a no-break space for each space.</summary>
    public static string Unbroken(string text) => text.Replace(' ', NoBreak);

    /// <summary>The text with a space for each no-break space.</summary>
    public static string Plain(string text) => text.Replace(NoBreak, ' ');
}
