using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>"22 st x 30 rows = 10 cm", "22 M 30 R", "10 x 10 cm = 22 mailles", "20 sts to 4 in", "22目 30段".</summary>
internal static class GaugeReader
{
    private const int MaxStitches = 100;
    private const int MaxRows = 150;
    private const decimal CentimetresPerInch = 2.54m;

    private static readonly Vocabulary<bool> Heading = new((true, "gauge|tension|knitting tension|maschenprobe|echantillon|muestra|campione|ゲージ"));

    // "m" is also a metre, "St." in German a piece: they count as stitches only where rows or a swatch follow.
    private static readonly Vocabulary<bool> Stitches = new(
        (true, "sts|stitch|stitches|masche|maschen|maille|mailles|punto|puntos|maglie|目"),
        (false, "st|m|p"));

    private static readonly Vocabulary<bool> Rows = new(
        (true, "r|row|rows|reihe|reihen|rang|rangs|rg|rgs|fila|filas|vuelta|vueltas|hileras|runde|runden|rd|rnd|rnds|round|rounds|段"));

    private static readonly Vocabulary<bool> Between = new((true, "x|and|und|et|y|by"));
    private static readonly Vocabulary<bool> Over = new((true, "over|per|to|in|on|auf|pro|par|sur|por|en|for|pour"));

    public static void Read(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (!TryGauge(scan, at, out Swatch swatch))
            {
                continue;
            }

            BandPiece[] pieces = [scan.Claim(at, swatch.Next)];
            scan.Add(Checked(swatch), pieces, each => new GaugeField(pieces, each.Stitches, each.Rows, swatch.Centimetres is null));
            at = swatch.Next - 1;
        }
    }

    private static bool TryGauge(BandScan scan, int at, out Swatch swatch)
    {
        swatch = default;
        int first = Heading.TryMatch(scan, at, out _, out int behind) ? scan.Skip(behind, ":=.") : at;
        decimal? before = null;
        if (TrySquare(scan, first, out decimal centimetres, out behind) && scan.IsSign(behind, "=:"))
        {
            before = centimetres;
            first = behind + 1;
        }

        if (!Amounts.TryRange(scan, first, out BandRange stitches, out int unit) || !Stitches.TryMatch(scan, unit, out bool certain, out int next))
        {
            return false;
        }

        BandRange? rows = null;
        int second = Separated(scan, next);
        if (Amounts.TryRange(scan, second, out BandRange read, out unit) && Rows.TryMatch(scan, unit, out _, out behind))
        {
            (rows, next) = (read, behind);
        }

        decimal? after = before ?? TryOver(scan, ref next);
        swatch = new Swatch(stitches, rows, after, next);
        return certain || rows is not null || after is not null;
    }

    private static int Separated(BandScan scan, int at)
    {
        int next = scan.Skip(at, "./,;&+-(×");
        return Between.TryMatch(scan, next, out _, out int behind) ? behind : next;
    }

    /// <summary>"= 10 cm", "over 10 x 10 cm", "to 4 in / 10 cm": the centimetres count where both stand.</summary>
    private static decimal? TryOver(BandScan scan, ref int next)
    {
        int at = scan.Skip(next, "./(");
        bool said = scan.IsSign(at, "=~≈:/");
        at = said ? at + 1 : Over.TryMatch(scan, at, out _, out int behind) && (said = true) ? behind : at;
        at = scan.Skip(at, "(");
        if (!(said || at > next) || !TrySquare(scan, at, out decimal centimetres, out int end))
        {
            return null;
        }

        next = end;
        int other = scan.Skip(end, "/=(");
        if (other > end && TrySquare(scan, other, out decimal again, out end))
        {
            next = end;
            // 4 in and 10 cm are printed as the same; a whole number of centimetres is what was knitted.
            return again == Math.Floor(again) ? again : centimetres;
        }

        return centimetres;
    }

    /// <summary>"10 cm", "10 x 10 cm", "4 in", "4"".</summary>
    private static bool TrySquare(BandScan scan, int at, out decimal centimetres, out int next)
    {
        (centimetres, next) = (0, at);
        if (scan.Number(at) is not { } side)
        {
            return false;
        }

        int unitAt = at + 1;
        bool hasUnit = TryCentimetres(scan, unitAt, out decimal each, out int behind);
        int times = hasUnit ? behind : unitAt;
        if ((scan.IsSign(times, "×") || scan.Word(times) == "x") && scan.Number(times + 1) is { } other && other.Value == side.Value
            && TryCentimetres(scan, times + 2, out decimal both, out int end))
        {
            (hasUnit, each, behind) = (true, both, end);
        }

        (centimetres, next) = (side.Value * each, hasUnit ? behind : at);
        return hasUnit && side.Value > 0;
    }

    private static bool TryCentimetres(BandScan scan, int at, out decimal each, out int next)
    {
        bool found = Amounts.TryUnit(scan, at, out Unit unit, out next);
        each = unit switch
        {
            Unit.Centimetre => 1,
            Unit.Inch => CentimetresPerInch,
            Unit.Millimetre => 0.1m,
            _ => 0,
        };
        return found && each > 0;
    }

    private static Outcome<(BandRange Stitches, BandRange? Rows)> Checked(Swatch swatch)
    {
        BandRange stitches = Per10(swatch.Stitches, swatch.Centimetres);
        BandRange? rows = swatch.Rows is null ? null : Per10(swatch.Rows, swatch.Centimetres);
        if (stitches is { Low: < 1 } or { High: > MaxStitches })
        {
            return Refusal.Invalid("gauge", "{0:0.#} stitches to 10 cm: 1 to {1} is allowed. Check the stitches and the width they were counted over.", stitches.Low < 1 ? stitches.Low : stitches.High, MaxStitches);
        }

        return rows is { Low: < 1 } or { High: > MaxRows }
            ? Refusal.Invalid("gauge", "{0:0.#} rows to 10 cm: 1 to {1} is allowed. Check the rows and the height they were counted over.", rows.Low < 1 ? rows.Low : rows.High, MaxRows)
            : (stitches, rows);
    }

    private static BandRange Per10(BandRange counted, decimal? centimetres) => centimetres is { } width
        ? new BandRange(Math.Round(counted.Low * 10 / width, 2), Math.Round(counted.High * 10 / width, 2))
        : counted;

    private readonly record struct Swatch(BandRange Stitches, BandRange? Rows, decimal? Centimetres, int Next);
}
