using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>"2,5 mm", "NS 3-4", "needles US 7", "hook 4 mm".</summary>
internal static class NeedleReader
{
    private const decimal MinMillimetres = 0.5m;
    private const decimal MaxMillimetres = 50;

    // US sizes in mm: Craft Yarn Council, standards for needles (from memory).
    private static readonly Dictionary<decimal, decimal> UsSizes = new()
    {
        [0] = 2,
        [1] = 2.25m,
        [1.5m] = 2.5m,
        [2] = 2.75m,
        [2.5m] = 3,
        [3] = 3.25m,
        [4] = 3.5m,
        [5] = 3.75m,
        [6] = 4,
        [7] = 4.5m,
        [8] = 5,
        [9] = 5.5m,
        [10] = 6,
        [10.5m] = 6.5m,
        [11] = 8,
        [13] = 9,
        [15] = 10,
        [17] = 12.75m,
        [19] = 15,
        [35] = 19,
        [50] = 25,
    };

    private static readonly Vocabulary<Tool> Tools = new(
        (new Tool(IsHook: false, MetricWithoutUnit: false), "needle|needles|knitting needle|knitting needles"),
        (new Tool(IsHook: true, MetricWithoutUnit: false), "hook|hooks|crochet hook|crochet"),
        (new Tool(IsHook: false, MetricWithoutUnit: true), "nadel|nadeln|nadelstarke|nd|ns|stricknadel|stricknadeln|aiguille|aiguilles|aig|aguja|agujas|ferri"),
        (new Tool(IsHook: true, MetricWithoutUnit: true), "hakelnadel|hakelnadeln|ganchillo|uncinetto"));

    private static readonly Vocabulary<bool> Us = new((true, "us|usa|us size|us sizes|us needle|us needles|us nr|us no|size us"));
    private static readonly Vocabulary<bool> Number = new((true, "size|sizes|nr|no|n|num|grosse|taille|starke"));

    public static void Read(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            bool named = Tools.TryMatch(scan, at, out Tool tool, out int next);
            next = named ? AfterNumberWord(scan, next) : at;
            if (TrySize(scan, next, named && tool.MetricWithoutUnit, out Size size))
            {
                int end = size.Next;
                if (!named && Tools.TryMatch(scan, scan.Skip(end, ")"), out tool, out int behind))
                {
                    end = behind;
                }

                BandPiece[] pieces = [scan.Claim(at, end)];
                scan.Add(Checked(size), pieces, millimetres => new NeedleField(pieces, millimetres, tool.IsHook));
                at = end - 1;
            }
        }
    }

    private static int AfterNumberWord(BandScan scan, int at)
    {
        int next = scan.Skip(at, ":.=-");
        next = Number.TryMatch(scan, next, out _, out int behind) ? behind : next;
        return scan.Skip(next, ":.=°#(");
    }

    private static bool TrySize(BandScan scan, int at, bool metricWithoutUnit, out Size size)
    {
        size = default;
        if (Us.TryMatch(scan, at, out _, out int next))
        {
            return TryUs(scan, scan.Skip(next, "#:.-"), out size);
        }

        if (!Amounts.TryRange(scan, at, out BandRange range, out next))
        {
            return false;
        }

        bool hasUnit = Amounts.TryUnit(scan, next, out Unit unit, out int end);
        size = new Size(range, hasUnit && unit == Unit.Millimetre ? AfterUsInBrackets(scan, end) : next);
        return hasUnit ? unit == Unit.Millimetre : metricWithoutUnit && !IsPercent(scan, next);
    }

    private static bool TryUs(BandScan scan, int at, out Size size)
    {
        size = default;
        bool half = Amounts.TryFraction(scan, at, out decimal mixed, out int next);
        BandRange range = new(mixed, mixed);
        if (!half && !Amounts.TryRange(scan, at, out range, out next))
        {
            return false;
        }

        if (!UsSizes.TryGetValue(range.Low, out decimal low) || !UsSizes.TryGetValue(range.High, out decimal high))
        {
            return false;
        }

        int millimetres = scan.Skip(next, "(/");
        size = millimetres > next && Amounts.TryRange(scan, millimetres, out BandRange metric, out int behind)
            && Amounts.TryUnit(scan, behind, out Unit unit, out behind) && unit == Unit.Millimetre
            ? new Size(metric, behind)
            : new Size(new BandRange(low, high), next);
        return true;
    }

    /// <summary>"4.5 mm (US 7)": the millimetres count.</summary>
    private static int AfterUsInBrackets(BandScan scan, int at)
    {
        int next = scan.Skip(at, "(/");
        return next > at && Us.TryMatch(scan, next, out _, out int behind) && TryUs(scan, scan.Skip(behind, "#:.-"), out Size us) ? us.Next : at;
    }

    private static bool IsPercent(BandScan scan, int at) => scan.IsSign(at, "%");

    private static Outcome<BandRange> Checked(Size size) => size.Millimetres is { Low: >= MinMillimetres, High: <= MaxMillimetres }
        ? size.Millimetres
        : Refusal.Invalid("needles", "Needles of {0} mm: {1} to {2} mm is allowed.", size.Millimetres.Low < MinMillimetres ? size.Millimetres.Low : size.Millimetres.High, MinMillimetres, MaxMillimetres);

    private readonly record struct Tool(bool IsHook, bool MetricWithoutUnit);

    private readonly record struct Size(BandRange Millimetres, int Next);
}
