namespace GuildStash.Web.Infrastructure.Work;

/// <summary>Patterns for ILIKE in which what somebody typed counts as it stands, whatever signs it has.</summary>
internal static class LikePattern
{
    /// <summary>Has to be named in each comparison: the provider turns escaping off where none is.</summary>
    public const string EscapeSign = "\\";

    /// <summary>More than this of a search would only make it slow.</summary>
    private const int LongestSearch = 100;

    /// <summary>Matches text that contains what was typed.</summary>
    public static string Containing(string? typed) => "%" + Escape(typed) + "%";

    /// <summary>Matches text that begins with what was typed.</summary>
    public static string Beginning(string? typed) => Escape(typed) + "%";

    /// <summary>Matches what was typed and nothing else, case ignored.</summary>
    public static string Whole(string? typed) => Escape(typed);

    private static string Escape(string? typed)
    {
        string text = (typed ?? "").Trim();
        return (text.Length <= LongestSearch ? text : text[..LongestSearch])
            .Replace("\\", "\\\\", StringComparison.Ordinal).Replace("%", "\\%", StringComparison.Ordinal).Replace("_", "\\_", StringComparison.Ordinal);
    }
}
