using PdfSharp.Fonts;

namespace GuildStash.Printing.Fonts;

/// <summary>
/// The fonts on paper: Noto Sans (SIL Open Font License) for text, DejaVu Sans (Bitstream Vera licence) for the characters
/// that Noto Sans lacks, such as arrows, comparison signs and ticks.
/// </summary>
internal static class FontLibrary
{
    private static readonly Lock Registration = new();

    public static FontFace Regular { get; } = FontFace.FromResource("NotoSans-Regular");

    public static FontFace Bold { get; } = FontFace.FromResource("NotoSans-Bold");

    public static FontFace Fallback { get; } = FontFace.FromResource("DejaVuSans");

    public static FontFace Text(bool bold) => bold ? Bold : Regular;

    /// <summary>
    /// Registers the fonts with PDFsharp, which keeps one resolver for the whole process. Safe to call at any time from any thread.
    /// </summary>
    /// <exception cref="InvalidOperationException">Other code in the process has set a resolver of its own.</exception>
    public static void EnsureRegistered()
    {
        lock (Registration)
        {
            if (GlobalFontSettings.FontResolver is null)
            {
                GlobalFontSettings.FontResolver = new EmbeddedFontResolver();
            }
            else if (GlobalFontSettings.FontResolver is not EmbeddedFontResolver)
            {
                throw new InvalidOperationException(
                    $"PDFsharp's font resolver is already {GlobalFontSettings.FontResolver.GetType()}; the process can have only one.");
            }
        }
    }

    private sealed class EmbeddedFontResolver : IFontResolver
    {
        public FontResolverInfo? ResolveTypeface(string familyName, bool bold, bool italic) =>
            Find(familyName) is null ? null : new FontResolverInfo(familyName);

        public byte[]? GetFont(string faceName) => Find(faceName)?.Data;

        private static FontFace? Find(string name) =>
            name == Regular.Name ? Regular : name == Bold.Name ? Bold : name == Fallback.Name ? Fallback : null;
    }
}
