namespace GuildStash.Web.Features.Words;

/// <summary>What stands between one heading and the next.</summary>
/// <param name="Anchor">Its place in the chapter's address, for instance "sort-a-bag"; empty before the first heading.</param>
/// <param name="Level">2 for a heading of the chapter, 3 for one below it.</param>
/// <param name="Paragraphs">The words without their marks: paragraphs, items of lists and rows of tables.</param>
public sealed record GuideSection(string Anchor, int Level, string Heading, IReadOnlyList<string> Paragraphs);

/// <summary>One page of the guides.</summary>
/// <param name="Name">Its place in the address, for instance "volunteer".</param>
/// <param name="Title">The first heading, which is not part of <paramref name="Html"/>.</param>
/// <param name="Html">Made from our own files, in which HTML counts as text.</param>
/// <param name="Links">Where it leads, as it stands in <paramref name="Html"/>.</param>
public sealed record GuideChapter(string Name, string Title, string Html, IReadOnlyList<GuideSection> Sections, IReadOnlyList<string> Links)
{
    /// <summary>Where it is.</summary>
    public string Address => $"{Guides.Address}/{Name}";

    /// <summary>Sections that one can go to.</summary>
    public IEnumerable<GuideSection> Headings => Sections.Where(section => section.Anchor.Length > 0);

    /// <summary>Where one of its sections is.</summary>
    public string AddressOf(GuideSection section) => section.Anchor.Length == 0 ? Address : $"{Address}#{section.Anchor}";
}
