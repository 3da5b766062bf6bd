using CsCheck;
using GuildStash.Domain.Bands;
using GuildStash.Domain.Counts;

namespace GuildStash.Domain.Tests.Bands;

/// <summary>For every text whatever: no exception, no number that is none, nothing typed gets lost.</summary>
public class BandTextPropertyTests
{
    private static readonly string[] Words =
    [
        "50", "g", "125", "m", "yds", "oz", "1¾", "3/4", "1.250", "1,75", "999999999999", "0", "80%", "%", "WO", "wool", "Schurwolle", "毛", "アクリル", "合太", "LL", "Nm", "2/28", "x",
        "tex", "R", "4-ply", "US", "UK", "7", "mm", "NS", "22", "M", "30", "sts", "rows", "=", "10 cm", "\"", "°", "C", "hand wash", "superwash", "gentle", "dots", "Lot", "A12", "DK",
        "worsted", "CYC", "4", "(", ")", "/", "-", "~", ":", ",", ".", "fine", "baby", "per", "kg", "\n", "moonbeam", "ａ", "５０", "é", "e\u0301", "\ud83e\uddf6", "\ud800", "\udfff", "\0", "\u202e", "'", "½",
    ];

    private static readonly Gen<string> HostileText = Gen.Int[0, Words.Length - 1].Select(at => Words[at])
        .Select(Gen.Bool, (word, space) => space ? word + " " : word).Array[0, 60]
        .Select(words => Shortened(string.Concat(words)));

    private static readonly Gen<string> AnyText = Gen.OneOf(HostileText, Gen.String.Select(Shortened), Gen.Char['\u2e80', '\uffff'].Array[0, 100].Select(signs => new string(signs)));

    private static readonly string[] Ways = ["{0} m/{1} g", "{1}g={0}m", "{1} g, {0} m", "LL {0} m/{1} g", "{1}ｇ　{0}ｍ", "{1} g 100% Wolle {0} m"];
    private static readonly Gen<string> AnyWay = Gen.Int[0, Ways.Length - 1].Select(at => Ways[at]);

    private static readonly Gen<BandTextOptions> AnyOptions = Gen.Enum<PlyCountry>().Select(Gen.Bool).Select((country, given) => given
        ? new BandTextOptions(country, CountSystem.Cotton)
        : BandTextOptions.Default);

    [Fact]
    public void Extreme_AnyTextIsReadWithoutAFault() => AnyText.Select(AnyOptions).Sample((text, options) =>
    {
        BandText band = BandText.Parse(text, options).Value;
        return band.Text == text && band.Fields.All(IsPossible) && band.Refusals.All(each => each.Refusal.ToString().Length > 0) && band.Conflicts.All(each => each.Sentence.ToString().Length > 0);
    }, iter: 4_000);

    [Fact]
    public void Roundtrip_PiecesAreWhatWasTyped() => AnyText.Sample(text => Pieces(BandText.Parse(text).Value)
        .All(piece => piece.Text.Length > 0 && text.AsSpan(piece.Start, piece.Text.Length).SequenceEqual(piece.Text)), iter: 2_000);

    [Fact]
    public void Roundtrip_EveryDigitTypedIsInSomePiece() => HostileText.Sample(text =>
    {
        bool[] covered = new bool[text.Length];
        foreach (BandPiece piece in Pieces(BandText.Parse(text).Value))
        {
            Array.Fill(covered, true, piece.Start, piece.Text.Length);
        }

        return text.Select((sign, at) => !char.IsDigit(sign) || covered[at]).All(each => each);
    }, iter: 2_000);

    [Fact]
    public void Roundtrip_LeftPiecesNeverOverlap() => HostileText.Sample(text =>
    {
        IReadOnlyList<BandPiece> rest = BandText.Parse(text).Value.NotUnderstood;
        return rest.Zip(rest.Skip(1)).All(pair => pair.First.End <= pair.Second.Start);
    }, iter: 2_000);

    [Fact]
    public void Roundtrip_LengthAndMass() => Gen.Int[1, 2000].Select(Gen.Int[1, 500], AnyWay).Where((metres, grams, _) => metres * 100 / grams is >= 5 and <= 20_000).Sample((metres, grams, way) =>
    {
        string text = string.Format(System.Globalization.CultureInfo.InvariantCulture, way, metres, grams);
        return BandText.Parse(text).Value.Band is { } band && Math.Abs(band.Length.Metres - metres) < 1e-9 && band.Mass.Grams == grams;
    });

    private static IEnumerable<BandPiece> Pieces(BandText band) =>
        [.. band.Fields.SelectMany(field => field.Pieces), .. band.NotUnderstood, .. band.Refusals.SelectMany(each => each.Pieces), .. band.Conflicts.SelectMany(each => each.Pieces)];

    private static bool IsPossible(BandField field) => field.Pieces.Count > 0 && field switch
    {
        BandLengthField length => double.IsFinite(length.Band.Density.MetresPer100Grams) && length.Band.Density.MetresPer100Grams > 0,
        LoneLengthField length => length.Length.Metres > 0,
        LoneMassField mass => mass.Mass.Milligrams > 0,
        CountField count => count.Count is null ? count.Question is not null : double.IsFinite(count.Count.Resultant) && count.Count.Resultant > 0,
        FibresField fibres => fibres.Fibres.All(each => each.Word.Length > 0) && fibres.Fibres.Sum(each => each.Percent ?? 0) is 0 or 100,
        NeedleField needle => needle.Millimetres.Low >= 0.5m && needle.Millimetres.Low <= needle.Millimetres.High && needle.Millimetres.High <= 50,
        GaugeField gauge => gauge.StitchesPer10Cm.Low >= 1 && gauge.StitchesPer10Cm.High <= 100,
        CareField care => care.Label.Treatment > 0,
        DyeLotField lot => lot.DyeLot.Length is > 0 and <= 20,
        ThicknessField => true,
        _ => false,
    };

    private static string Shortened(string text) => text.Length > BandText.MaxLength ? text[..BandText.MaxLength] : text;
}
