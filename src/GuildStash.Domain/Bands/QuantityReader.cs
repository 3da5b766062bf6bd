using GuildStash.Domain.Counts;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>Lengths and masses, and which of them belong together.</summary>
internal static class QuantityReader
{
    /// <summary>Statements nearer than this are one, rounded in two units. Judgement: 1.75 oz for 50 g is 0.8 % off, 1.8 oz 2.1 %.</summary>
    public const decimal Rounding = 0.03m;

    private const int LlGrams = 50;
    private const decimal MetresPerYard = (decimal)Length.MetresPerYard;
    private const decimal GramsPerOunce = 28.349523125m;
    private const decimal GramsPerPound = 453.59237m;

    private static readonly Vocabulary<bool> Ll = new((true, "ll|lauflange|laufl"));
    private static readonly Vocabulary<bool> About = new((true, "ca|circa|etwa|approx|about|environ|env|aprox|約"));
    private static readonly Vocabulary<bool> Per = new((true, "per|pro|par|por|je|auf|a"));

    private enum Gap
    {
        Apart = 0,
        Weak = 1,
        Strong = 2,
    }

    public static void Read(BandScan scan)
    {
        List<Quantity> quantities = Merged(scan, Collected(scan));
        List<(Quantity Length, Quantity Mass)> pairs = [];
        Pair(scan, quantities, pairs, Gap.Strong);
        Pair(scan, quantities, pairs, Gap.Weak);
        Quantity[] lengths = [.. quantities.Where(each => each is { IsLength: true, IsPaired: false })];
        Quantity[] masses = [.. quantities.Where(each => each is { IsLength: false, IsPaired: false })];
        if (pairs.Count == 0 && lengths.Length == 1 && masses.Length == 1)
        {
            Join(pairs, lengths[0], masses[0]);
        }

        foreach (Quantity again in quantities.Where(each => !each.IsPaired))
        {
            (Quantity, Quantity) told = pairs.Find(pair => Near(again, again.IsLength ? pair.Length : pair.Mass));
            if (told is ({ } length, { } mass))
            {
                (again.IsLength ? length : mass).Spans.AddRange(again.Spans);
                again.IsPaired = true;
            }
        }

        foreach ((Quantity length, Quantity mass) in pairs)
        {
            Add(scan, length, mass);
        }

        foreach (Quantity lone in quantities.Where(each => !each.IsPaired))
        {
            AddLone(scan, lone);
        }
    }

    private static List<Quantity> Collected(BandScan scan)
    {
        List<Quantity> found = [];
        for (int at = 0; at < scan.Tokens.Count;)
        {
            if (TryQuantity(scan, at) is not { } quantity)
            {
                at++;
                continue;
            }

            found.Add(quantity);
            at = quantity.To;
            if (quantity.IsLength && UnitAlone(scan, at) is { } mass)
            {
                found.Add(mass);
                at = mass.To;
            }
        }

        return found;
    }

    private static Quantity? TryQuantity(BandScan scan, int at)
    {
        int number = at;
        bool isLl = Ll.TryMatch(scan, at, out _, out int behind);
        if (isLl)
        {
            number = scan.Skip(behind, ":=.~≈");
            number = About.TryMatch(scan, number, out _, out behind) ? scan.Skip(behind, ".") : number;
        }

        if (Amounts.TryFraction(scan, number, out decimal value, out int next) && Amounts.TryUnit(scan, next, out Unit divided, out int end) && divided is Unit.Ounce or Unit.Pound)
        {
            return Of(value, divided, at, end, isLl: false);
        }

        if (scan.Number(number) is not { } read)
        {
            return null;
        }

        if (Amounts.TryUnit(scan, number + 1, out Unit unit, out end))
        {
            // "LL 50 g = 105 m": the mass is read when its turn comes.
            bool isOther = unit > Unit.Pound || (isLl && unit > Unit.Yard);
            return isOther || IsPartOfLonger(scan, number, unit) ? null : Of(Amount(read, unit), unit, at, end, isLl);
        }

        return isLl ? Of(Amount(read, Unit.Metre), Unit.Metre, at, number + 1, isLl) : null;
    }

    // Nobody states a ball's metres or grams to a thousandth, but ounces and kilograms so.
    private static decimal Amount(NumberText number, Unit unit) => unit is Unit.Metre or Unit.Yard or Unit.Gram ? number.Grouped ?? number.Value : number.Value;

    /// <summary>"1 250 m": one number or two? A space does not tell, so it is left to the person.</summary>
    private static bool IsPartOfLonger(BandScan scan, int at, Unit unit) => unit is Unit.Metre or Unit.Yard or Unit.Gram
        && scan.Number(at) is { IsWhole: true } && scan.Tokens[at].End - scan.Tokens[at].Start == 3
        && scan.Number(at - 1) is { IsWhole: true, Value: > 0 } && scan.Tokens[at - 1].End - scan.Tokens[at - 1].Start <= 3 && !scan.BeginsLine(at);

    /// <summary>The "/kg" of "14000 m/kg".</summary>
    private static Quantity? UnitAlone(BandScan scan, int at)
    {
        int unitAt = scan.IsSign(at, "/") ? at + 1 : Per.TryMatch(scan, at, out _, out int behind) ? behind : at;
        return unitAt > at && Amounts.TryUnit(scan, unitAt, out Unit unit, out int next) && unit is >= Unit.Gram and <= Unit.Pound
            ? Of(1, unit, unitAt, next, isLl: false)
            : null;
    }

    private static Quantity Of(decimal amount, Unit unit, int from, int to, bool isLl) => unit switch
    {
        Unit.Metre => new Quantity(amount, true, true, isLl, from, to),
        Unit.Yard => new Quantity(amount * MetresPerYard, true, false, isLl, from, to),
        Unit.Gram => new Quantity(amount, false, true, false, from, to),
        Unit.Kilogram => new Quantity(amount * 1000, false, true, false, from, to),
        Unit.Ounce => new Quantity(amount * GramsPerOunce, false, false, false, from, to),
        Unit.Pound => new Quantity(amount * GramsPerPound, false, false, false, from, to),
        _ => throw new ArgumentOutOfRangeException(nameof(unit), unit, "Neither a length nor a mass of yarn."),
    };

    /// <summary>The same in two units side by side, "125 m (137 yd)", is one statement; the metric figure counts.</summary>
    private static List<Quantity> Merged(BandScan scan, List<Quantity> found)
    {
        List<Quantity> merged = [];
        foreach (Quantity next in found)
        {
            if (merged is [.., { } last] && last.IsMetric != next.IsMetric && Near(last, next) && GapOf(scan, last, next) != Gap.Apart)
            {
                last.Amount = last.IsMetric ? last.Amount : next.Amount;
                last.Spans.AddRange(next.Spans);
                last.To = next.To;
            }
            else
            {
                merged.Add(next);
            }
        }

        return merged;
    }

    private static bool Near(Quantity a, Quantity b) => a.IsLength == b.IsLength && Math.Abs(a.Amount - b.Amount) <= Rounding * Math.Max(a.Amount, b.Amount);

    private static void Pair(BandScan scan, List<Quantity> quantities, List<(Quantity Length, Quantity Mass)> pairs, Gap least)
    {
        for (int i = 0; i + 1 < quantities.Count; i++)
        {
            (Quantity a, Quantity b) = (quantities[i], quantities[i + 1]);
            if (!a.IsPaired && !b.IsPaired && a.IsLength != b.IsLength && GapOf(scan, a, b) >= least)
            {
                Join(pairs, a.IsLength ? a : b, a.IsLength ? b : a);
            }
        }
    }

    private static void Join(List<(Quantity Length, Quantity Mass)> pairs, Quantity length, Quantity mass)
    {
        length.IsPaired = mass.IsPaired = true;
        pairs.Add((length, mass));
    }

    private static Gap GapOf(BandScan scan, Quantity a, Quantity b)
    {
        Gap gap = Gap.Weak;
        for (int at = a.To; at < b.From; at++)
        {
            if (scan.IsSign(at, "/=~≈") || Per.TryMatch(scan, at, out _, out _))
            {
                gap = Gap.Strong;
            }
            else if (!scan.IsSign(at, ",;:.()[]|-+·•・") && !About.TryMatch(scan, at, out _, out _))
            {
                return Gap.Apart;
            }
        }

        return gap;
    }

    private static void Add(BandScan scan, Quantity length, Quantity mass)
    {
        IReadOnlyList<BandPiece> pieces = Pieces(scan, [.. length.Spans, .. mass.Spans]);
        // A kilogram of fine yarn has more metres than any ball: the same per 100 g is what counts.
        bool perUnit = mass.Amount >= 400 && length.Amount > Band.MaxMetres;
        decimal metres = perUnit ? length.Amount * 100 / mass.Amount : length.Amount;
        scan.Add(Band.Create(Rounded(metres), perUnit ? 100 : Rounded(mass.Amount)), pieces, band => new BandLengthField(pieces, band));
    }

    private static void AddLone(BandScan scan, Quantity lone)
    {
        IReadOnlyList<BandPiece> pieces = Pieces(scan, lone.Spans);
        if (lone is { IsLength: true, IsLl: true })
        {
            scan.Add(Band.Create(Rounded(lone.Amount), LlGrams), pieces, band => new BandLengthField(pieces, band, MassAssumed: true));
        }
        else if (lone.IsLength)
        {
            Outcome<Length> length = lone.Amount is >= Band.MinMetres and <= Band.MaxMetres
                ? Length.FromMetres((double)lone.Amount)
                : Refusal.Invalid("band.metres", "{0} m on a band: {1} to {2:N0} m is allowed. Type what the band says for one ball.", Rounded(lone.Amount), Band.MinMetres, Band.MaxMetres);
            scan.Add(length, pieces, each => new LoneLengthField(pieces, each));
        }
        else
        {
            Outcome<Mass> mass = lone.Amount is >= Band.MinGrams and <= Band.MaxGrams
                ? Mass.FromGrams(lone.Amount)
                : Refusal.Invalid("band.grams", "{0} g on a band: {1} to {2:N0} g is allowed. Type what the band says for one ball.", Rounded(lone.Amount), Band.MinGrams, Band.MaxGrams);
            scan.Add(mass, pieces, each => new LoneMassField(pieces, each));
        }
    }

    private static decimal Rounded(decimal amount) => Math.Round(amount, 4);

    private static IReadOnlyList<BandPiece> Pieces(BandScan scan, List<(int From, int To)> spans) =>
        [.. spans.Order().Select(span => scan.Claim(span.From, span.To))];

    /// <summary>Metres or grams with the tokens that state them.</summary>
    private sealed class Quantity(decimal amount, bool isLength, bool isMetric, bool isLl, int from, int to)
    {
        public decimal Amount { get; set; } = amount;

        public bool IsLength { get; } = isLength;

        public bool IsMetric { get; } = isMetric;

        public bool IsLl { get; } = isLl;

        public int From { get; } = from;

        public int To { get; set; } = to;

        public bool IsPaired { get; set; }

        public List<(int From, int To)> Spans { get; } = [(from, to)];
    }
}
