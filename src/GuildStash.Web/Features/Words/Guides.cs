namespace GuildStash.Web.Features.Words;

/// <summary>One place where what was looked for stands.</summary>
/// <param name="Where">Chapter and heading.</param>
/// <param name="Text">The paragraph, or the beginning of the section where the heading itself was found.</param>
public sealed record GuideFind(string Href, string Where, string Text);

/// <summary>The guides of the repository within the program, read once.</summary>
public static class Guides
{
    /// <summary>Where they are.</summary>
    public const string Address = "/guide";

    internal const string GlossaryName = "glossary";
    internal const string EstimatesName = "estimates";

    private const int MostFinds = 20;
    private const int LongestText = 240;

    private static readonly Lazy<IReadOnlyList<GuideChapter>> s_chapters = new(() =>
        [.. new[] { "volunteer", "member", "coordinator", "operate", "sources", EstimatesName }.Select(name => GuideReader.Read(name, Resource(name)))]);

    /// <summary>In the order in which people meet them; the glossary has a page of its own.</summary>
    public static IReadOnlyList<GuideChapter> Chapters => s_chapters.Value;

    /// <summary>Null where there is no such chapter.</summary>
    public static GuideChapter? Find(string? name) => Chapters.FirstOrDefault(chapter => chapter.Name.Equals(name, StringComparison.OrdinalIgnoreCase));

    /// <summary>Paragraphs that have all the words, headings counted to each of theirs; at most twenty.</summary>
    public static IReadOnlyList<GuideFind> Search(string? typed)
    {
        string[] words = (typed ?? "").Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);
        return words.Length == 0 ? [] : [.. InChapters(words).Concat(InGlossary(words)).Take(MostFinds)];
    }

    /// <summary>A file of the guides as it was built in.</summary>
    /// <exception cref="InvalidOperationException">There is none of this name.</exception>
    internal static string Resource(string name)
    {
        using Stream file = typeof(Guides).Assembly.GetManifestResourceStream($"GuildStash.Web.guide.{name}.md")
            ?? throw new InvalidOperationException($"The guide {name} is not part of this build.");
        using StreamReader reader = new(file);
        return reader.ReadToEnd().ReplaceLineEndings("\n");
    }

    private static IEnumerable<GuideFind> InChapters(string[] words) =>
        from chapter in Chapters
        from section in chapter.Sections
        let heading = section.Heading.Length == 0 ? chapter.Title : section.Heading
        from text in HasAll(heading, words) ? section.Paragraphs.Take(1) : section.Paragraphs.Where(paragraph => HasAll($"{heading} {paragraph}", words))
        select new GuideFind(chapter.AddressOf(section), section.Heading.Length == 0 ? chapter.Title : $"{chapter.Title}: {section.Heading}", Short(text));

    private static IEnumerable<GuideFind> InGlossary(string[] words) =>
        Glossary.Entries.Where(entry => HasAll($"{entry.Term} {entry.Meaning}", words))
            .Select(entry => new GuideFind($"/glossary#{entry.Anchor}", $"Glossary: {entry.Term}", Short(entry.Meaning)));

    private static bool HasAll(string text, string[] words) => words.All(word => text.Contains(word, StringComparison.OrdinalIgnoreCase));

    private static string Short(string text) => text.Length <= LongestText ? text : text[..text.LastIndexOf(' ', LongestText)] + " …";
}
