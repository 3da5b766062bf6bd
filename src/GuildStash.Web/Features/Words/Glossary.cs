namespace GuildStash.Web.Features.Words;

/// <summary>One word of the room.</summary>
/// <param name="Anchor">Its place in the page's address, for instance "weight-class".</param>
public sealed record GlossaryEntry(string Anchor, string Term, string Meaning);

/// <summary>The glossary of the guides, read from the same file: paragraphs that begin with the word in bold.</summary>
public static class Glossary
{
    private const string Bold = "**";

    /// <summary>In the order of the file, which is the alphabet's.</summary>
    public static IReadOnlyList<GlossaryEntry> Entries { get; } = Read();

    private static List<GlossaryEntry> Read()
    {
        return [.. Guides.Resource(Guides.GlossaryName).Split("\n\n", StringSplitOptions.RemoveEmptyEntries)
            .Where(paragraph => paragraph.StartsWith(Bold, StringComparison.Ordinal))
            .Select(paragraph => paragraph[Bold.Length..].Split(Bold, 2))
            .Select(parts => Entry(parts[0].Trim().TrimEnd('.'), parts[1].Trim()))];
    }

    private static GlossaryEntry Entry(string term, string meaning) =>
        new(string.Join('-', new string([.. term.ToLowerInvariant().Select(c => char.IsAsciiLetter(c) ? c : ' ')]).Split(' ', StringSplitOptions.RemoveEmptyEntries)), term, meaning);
}
