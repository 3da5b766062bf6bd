using GuildStash.Printing.Fonts;
using PdfSharp.Drawing;
using PdfSharp.Pdf;
using PdfSharp.UniversalAccessibility;

namespace GuildStash.Printing.Drawing;

/// <summary>A document being drawn: pages of exact size, title, language and structure for screen readers.</summary>
internal sealed class Paper : IDisposable
{
    public const double A4Width = 210;
    public const double A4Height = 297;

    private readonly PdfDocument _document = new();
    private readonly StructureBuilder _structure;
    private readonly List<Canvas> _pages = [];

    private Paper(string title, PrintTexts texts, int pageCount)
    {
        FontLibrary.EnsureRegistered();
        Texts = texts;
        PageCount = pageCount;
        UAManager accessibility = UAManager.ForDocument(_document);
        accessibility.SetDocumentLanguage(texts.Culture.Name);
        _structure = accessibility.StructureBuilder;
        _document.Info.Title = PrintableText.Clean(title).Replace('\u00A0', ' ');
        _document.Info.Creator = "GuildStash";
        _document.ViewerPreferences.DisplayDocTitle = true;
        _document.ViewerPreferences.Elements.SetName("/PrintScaling", "/None");
    }

    public PrintTexts Texts { get; }

    /// <summary>Pages of the whole document, known while the first is drawn; 0 when drawn without counting.</summary>
    public int PageCount { get; }

    public int PageNumber => _pages.Count;

    /// <summary>Draws a document whose pages do not name their number.</summary>
    public static byte[] Render(string title, PrintTexts texts, Action<Paper> draw) => Render(title, texts, 0, draw).Bytes;

    /// <summary>Draws a document twice, so that the first page can name the number of pages.</summary>
    public static byte[] RenderCounted(string title, PrintTexts texts, Action<Paper> draw)
    {
        int pages = Render(title, texts, 0, draw).Pages;
        return Render(title, texts, pages, draw).Bytes;
    }

    public Canvas NewPage(double width, double height)
    {
        if (_pages.Count > 0)
        {
            _pages[^1].Dispose();
        }

        PdfPage page = _document.AddPage();
        page.Width = XUnit.FromMillimeter(width);
        page.Height = XUnit.FromMillimeter(height);
        Canvas canvas = new(page, _structure);
        _pages.Add(canvas);
        return canvas;
    }

    public void Dispose() => _document.Dispose();

    private static (byte[] Bytes, int Pages) Render(string title, PrintTexts texts, int pageCount, Action<Paper> draw)
    {
        using Paper paper = new(title, texts, pageCount);
        draw(paper);
        paper._pages[^1].Dispose();
        using MemoryStream stream = new();
        paper._document.Save(stream, closeStream: false);
        return (stream.ToArray(), paper.PageNumber);
    }
}
