using GuildStash.Domain.Counts;
using GuildStash.Domain.Quantities;

namespace GuildStash.Domain.Bands;

/// <summary>"Nm 2/28", "8/2 Ne", "R 40 tex / 2", "150 den", "3 run", "worsted 24"; and "8/2" alone, which is asked for its system.</summary>
internal static class CountReader
{
    private static readonly Vocabulary<CountSystem> Systems = new(
        (CountSystem.Metric, "nm"),
        (CountSystem.Cotton, "ne|nec|neb"),
        (CountSystem.Worsted, "nek|new"),
        (CountSystem.Lea, "lea|nel"),
        (CountSystem.Tex, "tex"),
        (CountSystem.Dtex, "dtex"),
        (CountSystem.Denier, "den|denier"));

    // "worsted 4" is a class, so that a single count begins where the standard's numbers end.
    private const int FewestWorsted = 10;
    private const int MostSingle = 200;

    // "3 run" and "5 cut", but not "run 3" or "cut 5", which may be of anything.
    private static readonly Vocabulary<CountSystem> BehindSingle = new((CountSystem.Run, "run|runs"), (CountSystem.Cut, "cut|cuts"), (CountSystem.Cotton, "cotton count|cotton ne"));

    // These are common words, so that a bare number beside them may mean something else.
    private static readonly Vocabulary<CountSystem> FoldedOnly = new(
        (CountSystem.Worsted, "worsted"),
        (CountSystem.Cotton, "cotton count|cotton ne"),
        (CountSystem.Run, "run"),
        (CountSystem.Cut, "cut"));

    public static void ReadNamed(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (TryNamed(scan, at, out CountSystem system, out Numbers numbers, out int next))
            {
                BandPiece[] pieces = [scan.Claim(at, next)];
                Add(scan, system, numbers, pieces);
                at = next - 1;
            }
        }
    }

    /// <summary>What is left when everything else was read: two whole numbers with a slash.</summary>
    public static void ReadUnnamed(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (!TryNumbers(scan, at, out Numbers numbers, out int next) || !IsLikely(numbers) || scan.IsSign(next, "/%") || scan.IsSign(at - 1, "/"))
            {
                continue;
            }

            BandPiece[] pieces = [scan.Claim(at, next)];
            if (scan.Options.CountSystem is { } system)
            {
                Add(scan, system, numbers, pieces);
            }
            else
            {
                scan.Add(new CountField(pieces, null, BandQuestion.CountSystem));
            }

            at = next - 1;
        }
    }

    /// <summary>Spun silk counted in Ne, "40/2", names the folded yarn (common practice); read last, when the fibres are known.</summary>
    public static void SettleSilk(BandScan scan)
    {
        if (!scan.Fields.OfType<FibresField>().Any() || scan.Fields.OfType<FibresField>().Any(field => field.Content is not { Fibres: [{ Code: "SE" }] }))
        {
            return;
        }

        foreach (CountField field in scan.Fields.OfType<CountField>().Where(field => field.Count is { System: CountSystem.Cotton, Kind: CountKind.Folded }).ToList())
        {
            YarnCount singles = field.Count!;
            scan.Replace(field, field with { Count = YarnCount.Folded(singles.System, singles.Resultant * singles.Plies, singles.Plies, CountNotation.Resultant).Value });
        }
    }

    // Two numbers that make a hundred are shares of fibres.
    private static bool IsLikely(Numbers numbers) => numbers is { Sign: '/', Values: [{ } a, { } b] }
        && a > 0 && b > 0 && a == Math.Floor(a) && b == Math.Floor(b) && Math.Min(a, b) <= YarnCount.MaxPlies && Math.Max(a, b) <= 200 && a + b != 100;

    private static void Add(BandScan scan, CountSystem system, Numbers numbers, BandPiece[] pieces)
    {
        string text = string.Join(numbers.Sign, numbers.Values.Select(value => value.ToString(System.Globalization.CultureInfo.InvariantCulture)));
        CountNotation notation = numbers.IsResultant ? CountNotation.Resultant : scan.Options.Notation;
        scan.Add(YarnCount.Parse(text, system, notation), pieces, count => new CountField(pieces, count));
    }

    private static bool TryNamed(BandScan scan, int at, out CountSystem system, out Numbers numbers, out int next)
    {
        (system, numbers, next) = (default, default, at);
        bool isResultant = scan.Word(at) == "r" && scan.Tokens[at].End - scan.Tokens[at].Start == 1;
        int first = isResultant ? at + 1 : at;
        if (Systems.TryMatch(scan, first, out system, out int behind))
        {
            return TryNumbers(scan, scan.Skip(behind, ":.="), out numbers, out next) && IsCount(scan, ref numbers, isResultant, next);
        }

        if (FoldedOnly.TryMatch(scan, first, out system, out behind))
        {
            return TryNumbers(scan, scan.Skip(behind, ":"), out numbers, out next) && (numbers.Values.Count > 1 || IsSingle(system, numbers)) && IsCount(scan, ref numbers, isResultant, next);
        }

        if (!TryNumbers(scan, first, out numbers, out behind))
        {
            return false;
        }

        if (Systems.TryMatch(scan, behind, out system, out next) || BehindSingle.TryMatch(scan, scan.Skip(behind, "-"), out system, out next) || (numbers.Values.Count > 1 && FoldedOnly.TryMatch(scan, behind, out system, out next)))
        {
            // "20 tex x 2" and "R 40 tex / 2" have their strands behind the system.
            if (numbers.Values.Count == 1 && SignAt(scan, next) is { } sign && scan.Number(next + 1) is { } plies)
            {
                numbers = new Numbers([.. numbers.Values, plies.Value], sign, false);
                next += 2;
            }

            numbers = numbers with { IsResultant = isResultant };
            return true;
        }

        return false;
    }

    private static bool IsSingle(CountSystem system, Numbers numbers) =>
        system is CountSystem.Worsted or CountSystem.Cotton && numbers.Values is [>= FewestWorsted and <= MostSingle];

    // The number behind a system must not be the beginning of another statement, as in "Nm 50 g".
    private static bool IsCount(BandScan scan, ref Numbers numbers, bool isResultant, int next)
    {
        numbers = numbers with { IsResultant = isResultant };
        return !scan.IsSign(next, "%") && !Amounts.TryUnit(scan, next, out _, out _);
    }

    private static bool TryNumbers(BandScan scan, int at, out Numbers numbers, out int next)
    {
        List<decimal> values = [];
        char sign = '/';
        next = at;
        while (values.Count < 4 && scan.Number(next) is { } number)
        {
            values.Add(number.Value);
            next++;
            if (SignAt(scan, next) is not { } found || scan.Number(next + 1) is null || (values.Count > 1 && found != sign))
            {
                break;
            }

            sign = found;
            next++;
        }

        numbers = new Numbers(values, sign, false);
        return values.Count > 0;
    }

    private static char? SignAt(BandScan scan, int at) =>
        scan.IsSign(at, "/") ? '/' : scan.IsSign(at, "×") || scan.Word(at) == "x" ? '×' : null;

    private readonly record struct Numbers(List<decimal> Values, char Sign, bool IsResultant);
}
