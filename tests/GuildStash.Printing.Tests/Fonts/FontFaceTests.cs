using System.Text;
using GuildStash.Printing.Fonts;
using SkiaSharp;

namespace GuildStash.Printing.Tests.Fonts;

public sealed class FontFaceTests
{
    /// <summary>Half a font unit of 2048: Skia keeps widths as floats.</summary>
    private const double WidthTolerance = 0.0003;

    public static TheoryData<string> Faces => ["NotoSans-Regular", "NotoSans-Bold", "DejaVuSans"];

    /// <summary>Skia's own reading of the same font file is the reference.</summary>
    [Theory]
    [MemberData(nameof(Faces))]
    public void KnownCharacterMap_AgreesWithSkia(string name)
    {
        FontFace face = FontFace.FromResource(name);
        using SKTypeface reference = SKTypeface.FromData(SKData.CreateCopy(face.Data));
        using SKFont font = new(reference, 1000);
        font.LinearMetrics = true;
        font.Hinting = SKFontHinting.None;
        int known = 0;
        for (int code = 0x20; code < 0xFFFF; code++)
        {
            if (!Rune.IsValid(code))
            {
                continue;
            }

            Rune rune = new(code);
            ushort glyph = font.GetGlyph(code);
            Assert.True(face.Has(rune) == (glyph != 0), $"U+{code:X4} in {name}");
            if (glyph != 0)
            {
                known++;
                Assert.Equal(font.GetGlyphWidths([glyph])[0] / 1000, face.Advance(rune), WidthTolerance);
            }
        }

        Assert.True(known > 2000, $"{name} has only {known} characters.");
    }

    [Theory]
    [MemberData(nameof(Faces))]
    public void KnownLetters_OfLatinGreekAndCyrillic_AreThere(string name)
    {
        FontFace face = FontFace.FromResource(name);
        Assert.All("AzÅéßŁőğΑωΆϊБяЇђ".EnumerateRunes(), rune => Assert.True(face.Has(rune), $"{rune} in {name}"));
    }

    [Fact]
    public void KnownGapsOfTextFont_AreFilledByFallback()
    {
        foreach (Rune rune in "≥≤≈→✓⌀".EnumerateRunes())
        {
            Assert.False(FontLibrary.Regular.Has(rune), $"{rune} no longer needs the fallback.");
            Assert.True(FontLibrary.Fallback.Has(rune), $"{rune} has no glyph at all.");
        }
    }

    [Fact]
    public void Licences_AreEmbeddedBesideTheFonts()
    {
        string[] names = typeof(FontFace).Assembly.GetManifestResourceNames();
        Assert.Contains("NotoSans-OFL.txt", names);
        Assert.Contains("DejaVuSans-LICENSE.txt", names);
    }

    [Fact]
    public void InvalidName_IsToldByName()
    {
        InvalidOperationException refusal = Assert.Throws<InvalidOperationException>(() => FontFace.FromResource("NoSuchFont"));
        Assert.Contains("NoSuchFont", refusal.Message, StringComparison.Ordinal);
    }
}
