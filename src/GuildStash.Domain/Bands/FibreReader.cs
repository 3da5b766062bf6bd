using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>"80% WO 20% PA", "Wolle 80 %, Polyamid 20 %", "毛60%アクリル40%", and names without percentages.</summary>
internal static class FibreReader
{
    private const int LongestUnknown = 3;

    private static readonly Vocabulary<bool> PercentWords = new((true, "percent|prozent|pct|pour cent|por ciento|パーセント"));

    public static void Read(BandScan scan)
    {
        List<Share> shares = Percents(scan);
        if (shares.Count == 0)
        {
            ReadNamesAlone(scan);
            return;
        }

        Name(scan, shares);
        shares.RemoveAll(share => share.Word is null);
        foreach (List<Share> blend in Blends(shares))
        {
            Add(scan, blend);
        }
    }

    private static List<Share> Percents(BandScan scan)
    {
        List<Share> shares = [];
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (scan.Number(at) is { } number && (scan.IsSign(at + 1, "%") || PercentWords.TryMatch(scan, at + 1, out _, out _)))
            {
                int next = scan.IsSign(at + 1, "%") ? at + 2 : at + 1;
                _ = next > at + 1 || PercentWords.TryMatch(scan, at + 1, out _, out next);
                shares.Add(new Share(number.Value, at, next));
            }
        }

        return shares;
    }

    /// <summary>Gives each share its name, all from behind the percentages or all from before them, as this band writes it.</summary>
    private static void Name(BandScan scan, List<Share> shares)
    {
        List<Found> behind = [.. shares.Select((share, i) => Behind(scan, share, End(scan, shares, i)))];
        List<Found> before = [.. shares.Select((share, i) => Before(scan, share, i == 0 ? 0 : shares[i - 1].To))];
        int more = behind.Count(found => found.Fibre is not null) - before.Count(found => found.Fibre is not null);
        bool namesFollow = more > 0 || (more == 0 && behind[^1].Exists);
        foreach ((Share share, Found found) in shares.Zip(namesFollow ? behind : before))
        {
            if (found.Exists)
            {
                share.Fibre = found.Fibre;
                share.Word = scan.Typed(found.From, found.To);
                share.Piece = scan.Claim(Math.Min(share.From, found.From), Math.Max(share.To, found.To));
            }
        }
    }

    private static int End(BandScan scan, List<Share> shares, int i) => i + 1 < shares.Count ? shares[i + 1].From : scan.Tokens.Count;

    private static Found Behind(BandScan scan, Share share, int end)
    {
        int at = SkipSuperwash(scan, scan.Skip(share.To, ":-(.="));
        at = scan.Word(at) is "of" or "de" or "aus" or "di" ? at + 1 : at;
        if (FibreNames.TryFind(scan, at, anyCase: true, out Fibre? fibre, out int next) && next <= end)
        {
            return new Found(fibre, at, WithSynonyms(scan, fibre, next));
        }

        next = at;
        while (next < end && next - at < LongestUnknown && scan.Word(next) is not null && (next == at || !scan.BeginsLine(next)))
        {
            next++;
        }

        return new Found(null, at, next);
    }

    /// <summary>Already read as care, it may stand between a percentage and its fibre.</summary>
    private static int SkipSuperwash(BandScan scan, int at)
    {
        while (at < scan.Tokens.Count && !scan.IsFree(at) && scan.Tokens[at].Key is "superwash" or "super" or "wash")
        {
            at++;
        }

        return at;
    }

    /// <summary>"Schurwolle (Merino)", "Wolle/Wool/Laine", "Baumwolle gasiert": the same fibre said again, or finished.</summary>
    private static int WithSynonyms(BandScan scan, Fibre fibre, int at)
    {
        while (true)
        {
            int name = scan.Skip(at, "/(-");
            if (FibreWords.Finishes.TryMatch(scan, name, out _, out int next)
                || (name > at && FibreNames.TryFind(scan, name, anyCase: false, out Fibre? again, out next) && (again == fibre || (again.IsWool && fibre.IsWool))))
            {
                at = scan.IsSign(next, ")") && scan.Typed(at, next).Contains('(') ? next + 1 : next;
            }
            else
            {
                return at;
            }
        }
    }

    private static Found Before(BandScan scan, Share share, int start)
    {
        int to = share.From;
        while (to > start && scan.IsSign(to - 1, ":-=.("))
        {
            to--;
        }

        int from = to;
        while (from > start && to - from < LongestUnknown && scan.Word(from - 1) is not null && (from == to || !scan.BeginsLine(from)))
        {
            from--;
        }

        // The longest name that ends at the percentage; quality words before it belong to it.
        for (int at = Math.Max(start, to - 6); at < to; at++)
        {
            if (FibreNames.TryFind(scan, at, anyCase: true, out Fibre? fibre, out int next) && next == to && !IsInsideKanji(scan, at, next))
            {
                return new Found(fibre, at, to);
            }
        }

        return new Found(null, from, to);
    }

    private static void ReadNamesAlone(BandScan scan)
    {
        List<Share> shares = [];
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (FibreNames.TryFind(scan, at, anyCase: false, out Fibre? fibre, out int next) && !IsInsideKanji(scan, at, next))
            {
                shares.Add(new Share(null, at, next) { Fibre = fibre, Word = scan.Typed(at, next), Piece = scan.Claim(at, next) });
                at = next - 1;
            }
        }

        if (shares.Count > 0)
        {
            Add(scan, shares);
        }
    }

    /// <summary>A kanji that touches another one is part of a longer word, which may mean something else.</summary>
    private static bool IsInsideKanji(BandScan scan, int from, int to) => (IsKanji(scan, from) && scan.Touches(from) && IsKanji(scan, from - 1))
        || (IsKanji(scan, to - 1) && scan.Touches(to) && IsKanji(scan, to));

    private static bool IsKanji(BandScan scan, int at) => scan.IsFree(at) && scan.Tokens[at].Key is [>= '\u3400' and <= '\u9fff'];

    /// <summary>Bands repeat themselves in several languages: each run that makes 100 is a statement of its own.</summary>
    private static List<List<Share>> Blends(List<Share> shares)
    {
        List<List<Share>> blends = [];
        List<Share> current = [];
        foreach (Share share in shares)
        {
            current.Add(share);
            if (current.Sum(each => each.Percent) == 100)
            {
                blends.Add(current);
                current = [];
            }
        }

        // What does not make 100 is one statement, so that its sum can be told.
        return current.Count == 0 ? blends : [shares];
    }

    private static void Add(BandScan scan, List<Share> blend)
    {
        BandPiece[] pieces = [.. blend.Select(share => share.Piece!)];
        BandFibre[] fibres = [.. blend.Select(share => new BandFibre(share.Fibre, share.Word!, share.Percent))];
        if (blend.Find(share => share.Percent is <= 0 or > 100) is { } wrong)
        {
            scan.Refuse(Refusal.Invalid("fibres", "A share of {0} %: more than 0 and at most 100 is allowed.", wrong.Percent!), pieces);
        }
        else if (blend[0].Percent is not null && blend.Sum(share => share.Percent) != 100)
        {
            scan.Refuse(Refusal.Invalid("fibres", "The percentages come to {0}, not 100: copy them from the band, or leave them all out.", blend.Sum(share => share.Percent)!), pieces);
        }
        else
        {
            scan.Add(new FibresField(pieces, fibres, Content(fibres)));
        }
    }

    /// <summary>The same fibre named twice, as in "50% merino 50% wool", is one with both shares.</summary>
    private static FibreContent? Content(BandFibre[] fibres)
    {
        if (fibres.Any(each => each.Fibre is null))
        {
            return null;
        }

        Outcome<FibreContent> content = FibreContent.Create(fibres.GroupBy(each => each.Fibre!.Code).Select(same =>
            new FibreShare(same.Key, same.Any(each => each.Percent is null) ? null : same.Sum(each => each.Percent))));
        return content.IsOk ? content.Value : null;
    }

    private readonly record struct Found(Fibre? Fibre, int From, int To)
    {
        public bool Exists => To > From;
    }

    private sealed class Share(decimal? percent, int from, int to)
    {
        public decimal? Percent { get; } = percent;

        public int From { get; } = from;

        public int To { get; } = to;

        public Fibre? Fibre { get; set; }

        public string? Word { get; set; }

        public BandPiece? Piece { get; set; }
    }
}
