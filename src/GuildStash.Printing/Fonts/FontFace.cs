using System.Buffers.Binary;
using System.Text;

namespace GuildStash.Printing.Fonts;

/// <summary>
/// One TrueType font: its bytes, which characters it has and how wide they are. Read here because PDFsharp measures and
/// draws characters that a font lacks without a word, as empty boxes. Tables after the OpenType specification 1.9.
/// </summary>
internal sealed class FontFace
{
    /// <summary>Format 4 of the character map, which covers the Basic Multilingual Plane.</summary>
    private const int SegmentMapping = 4;

    private readonly Dictionary<int, ushort> _glyphs = [];
    private readonly ushort[] _advances;
    private readonly double _unitsPerEm;

    private FontFace(string name, byte[] data)
    {
        Name = name;
        Data = data;
        _unitsPerEm = UInt16(Table("head") + 18);
        _advances = ReadAdvances();
        ReadCharacterMap(Table("cmap"));
    }

    public string Name { get; }

    public byte[] Data { get; }

    public static FontFace FromResource(string name)
    {
        using Stream stream = typeof(FontFace).Assembly.GetManifestResourceStream(name + ".ttf")
            ?? throw new InvalidOperationException($"The font {name}.ttf is not embedded in {typeof(FontFace).Assembly.GetName().Name}.");
        using MemoryStream copy = new();
        stream.CopyTo(copy);
        return new FontFace(name, copy.ToArray());
    }

    public bool Has(Rune rune) => _glyphs.ContainsKey(rune.Value);

    /// <summary>Advance width as a fraction of the font size; 0 for a character that the font lacks.</summary>
    public double Advance(Rune rune) =>
        _glyphs.TryGetValue(rune.Value, out ushort glyph) ? _advances[Math.Min(glyph, _advances.Length - 1)] / _unitsPerEm : 0;

    private ushort[] ReadAdvances()
    {
        int count = UInt16(Table("hhea") + 34);
        int metrics = Table("hmtx");
        return [.. Enumerable.Range(0, count).Select(index => UInt16(metrics + (index * 4)))];
    }

    private void ReadCharacterMap(int map)
    {
        int subtables = UInt16(map + 2);
        for (int index = 0; index < subtables; index++)
        {
            int record = map + 4 + (index * 8);
            bool isUnicode = UInt16(record) == 0 || (UInt16(record) == 3 && UInt16(record + 2) == 1);
            int subtable = map + (int)UInt32(record + 4);
            if (isUnicode && UInt16(subtable) == SegmentMapping)
            {
                ReadSegments(subtable);
            }
        }
    }

    private void ReadSegments(int subtable)
    {
        int doubledCount = UInt16(subtable + 6);
        int ends = subtable + 14;
        int starts = ends + doubledCount + 2;
        int deltas = starts + doubledCount;
        int offsets = deltas + doubledCount;
        for (int at = 0; at < doubledCount; at += 2)
        {
            int start = UInt16(starts + at);
            int offset = UInt16(offsets + at);
            for (int code = start; code <= UInt16(ends + at) && code != 0xFFFF; code++)
            {
                int glyph = offset == 0 ? code : UInt16(offsets + at + offset + ((code - start) * 2));
                Add(code, glyph == 0 ? 0 : (ushort)(glyph + UInt16(deltas + at)));
            }
        }
    }

    private void Add(int code, int glyph)
    {
        if (glyph != 0)
        {
            _glyphs[code] = (ushort)glyph;
        }
    }

    private int Table(string tag)
    {
        for (int index = 0; index < UInt16(4); index++)
        {
            int record = 12 + (index * 16);
            if (Encoding.ASCII.GetString(Data, record, 4) == tag)
            {
                return (int)UInt32(record + 8);
            }
        }

        throw new InvalidDataException($"The font {Name} has no table {tag}.");
    }

    private ushort UInt16(int at) => BinaryPrimitives.ReadUInt16BigEndian(Data.AsSpan(at));

    private uint UInt32(int at) => BinaryPrimitives.ReadUInt32BigEndian(Data.AsSpan(at));
}
