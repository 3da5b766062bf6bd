using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using Markdig;
using Markdig.Extensions.AutoIdentifiers;
using Markdig.Extensions.Tables;
using Markdig.Renderers.Html;
using Markdig.Syntax;
using Markdig.Syntax.Inlines;

namespace GuildStash.Web.Features.Words;

/// <summary>Turns a file of the guides, written for readers of the repository, into a chapter for readers of the program.</summary>
public sealed partial class GuideReader
{
    private static readonly MarkdownPipeline s_pipeline =
        new MarkdownPipelineBuilder().DisableHtml().UsePipeTables().UseAutoIdentifiers(AutoIdentifierOptions.GitHub).Build();

    private readonly List<string> _links = [];
    private readonly string _name;

    private GuideReader(string name) => _name = name;

    /// <param name="name">The chapter's place in the address; links without a file lead into it.</param>
    /// <param name="markdown">CommonMark with pipe tables and one heading of the first level.</param>
    public static GuideChapter Read(string name, string markdown) => new GuideReader(name).Read(markdown);

    /// <summary>Records of decisions are numbered in the repository; readers of the program meet one alone.</summary>
    [GeneratedRegex(@"^\d+\.\s+")]
    private static partial Regex RecordNumber();

    private GuideChapter Read(string markdown)
    {
        MarkdownDocument document = Markdown.Parse(markdown.ReplaceLineEndings("\n"), s_pipeline);
        HeadingBlock title = document.OfType<HeadingBlock>().First(heading => heading.Level == 1);
        document.Remove(title);
        foreach (LinkInline link in document.Descendants<LinkInline>().ToList())
        {
            Lead(link);
        }

        foreach (Table table in document.OfType<Table>())
        {
            LabelCells(table);
        }

        return new GuideChapter(_name, RecordNumber().Replace(TextOf(title), ""), document.ToHtml(s_pipeline), SectionsOf(document), _links);
    }

    private void Lead(LinkInline link)
    {
        link.Url = link.IsImage ? GuidePictures.AddressOf(link.Url!) : AddressOf(link.Url!);
        if (link.IsImage)
        {
            ShowLarge(link);
        }

        _links.Add(link.Url);
    }

    /// <summary>"operate.md#roles" as it is found within the program. The page's base address would send a bare "#roles" to the start page.</summary>
    private string AddressOf(string url)
    {
        string[] parts = url.Split('#', 2);
        string chapter = parts[0].Length == 0 ? _name : Path.GetFileNameWithoutExtension(parts[0]);
        string anchor = parts.Length == 2 ? "#" + parts[1] : "";
        return url.Contains("://", StringComparison.Ordinal) ? url
            : (chapter == Guides.GlossaryName ? "/glossary" : $"{Guides.Address}/{(chapter.StartsWith("0007", StringComparison.Ordinal) ? Guides.EstimatesName : chapter)}") + anchor;
    }

    /// <summary>A picture comes when it is scrolled to, keeps its room till then, and opens as large as it is.</summary>
    private static void ShowLarge(LinkInline picture)
    {
        HtmlAttributes attributes = picture.GetAttributes();
        attributes.AddProperty("loading", "lazy");
        attributes.AddProperty("decoding", "async");
        if (GuidePictures.SizeOf(picture.Url!) is var (width, height))
        {
            attributes.AddProperty("width", width.ToString(CultureInfo.InvariantCulture));
            attributes.AddProperty("height", height.ToString(CultureInfo.InvariantCulture));
        }

        LinkInline large = new(picture.Url!, "");
        large.GetAttributes().AddProperty("target", "_blank");
        large.GetAttributes().AddProperty("rel", "noopener");
        large.GetAttributes().AddClass("picture");
        picture.ReplaceBy(large, copyChildren: false);
        large.AppendChild(picture);
    }

    /// <summary>On a phone each row becomes a card, in which a cell says what it is.</summary>
    private static void LabelCells(Table table)
    {
        string[] heads = [.. table.OfType<TableRow>().First().OfType<TableCell>().Select(TextOf)];
        foreach (TableRow row in table.OfType<TableRow>().Skip(1))
        {
            foreach ((TableCell cell, int place) in row.OfType<TableCell>().Select((cell, place) => (cell, place)))
            {
                cell.GetAttributes().AddProperty("data-label", place < heads.Length ? heads[place] : "");
            }
        }
    }

    private static List<GuideSection> SectionsOf(MarkdownDocument document)
    {
        List<GuideSection> sections = [new("", 1, "", [])];
        List<string> paragraphs = [];
        foreach (Block block in document)
        {
            if (block is HeadingBlock heading)
            {
                sections[^1] = sections[^1] with { Paragraphs = paragraphs };
                paragraphs = [];
                sections.Add(new(heading.GetAttributes().Id ?? "", heading.Level, TextOf(heading), []));
            }
            else
            {
                paragraphs.AddRange(PartsOf(block).Select(TextOf).Where(text => text.Length > 0));
            }
        }

        sections[^1] = sections[^1] with { Paragraphs = paragraphs };
        return sections;
    }

    private static IEnumerable<Block> PartsOf(Block block) => block switch
    {
        Table table => table,
        ContainerBlock container => container.SelectMany(PartsOf),
        _ => [block],
    };

    private static string TextOf(Block block)
    {
        StringBuilder text = new();
        foreach (LeafBlock leaf in block is LeafBlock one ? [one] : block.Descendants<LeafBlock>())
        {
            text.Append(text.Length > 0 ? " · " : "").Append(leaf.Inline is null ? leaf.Lines.ToString() : "");
            foreach (Inline inline in leaf.Inline?.Descendants() ?? [])
            {
                text.Append(inline switch
                {
                    LiteralInline literal => literal.Content.ToString(),
                    CodeInline code => code.Content,
                    AutolinkInline address => address.Url,
                    LineBreakInline => " ",
                    _ => "",
                });
            }
        }

        return text.ToString().Trim();
    }
}
