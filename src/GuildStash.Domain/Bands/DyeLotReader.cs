namespace GuildStash.Domain.Bands;

/// <summary>"Lot 1234", "dye lot: A12-3", "Partie-Nr. 77/4", "bain n° 1234".</summary>
internal static class DyeLotReader
{
    private const int MaxLength = 20;

    private static readonly Vocabulary<bool> Words = new(
        (true, "lot|lots|lot nr|lot no|lot number|dye lot|dyelot|dye lot no|dye lot nr|dyelot no|partie|partie nr|partienr|partienummer|farbpartie|bain|bain n|bain no|no de bain|bain de teinture|lote|no de lote|bano|bagno|n bagno|ロット|ロット no"));

    public static void Read(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (!Words.TryMatch(scan, at, out _, out int next))
            {
                continue;
            }

            int from = scan.Skip(next, ":.#=°");
            int to = EndOf(scan, from);
            if (to > from)
            {
                BandPiece piece = scan.Claim(at, to);
                scan.Add(new DyeLotField([piece], scan.Typed(from, to)));
                at = to - 1;
            }
        }
    }

    /// <summary>The run without spaces, as far as it has a digit: the "lot" in "a lot of fun" is none.</summary>
    private static int EndOf(BandScan scan, int from)
    {
        int to = from;
        bool hasDigit = false;
        while (scan.IsFree(to) && (to == from || scan.Touches(to)) && (scan.Word(to) is not null || scan.Number(to) is not null || scan.IsSign(to, "-/.")))
        {
            hasDigit |= scan.Typed(to, to + 1).Any(char.IsDigit);
            to++;
        }

        while (to > from && scan.IsSign(to - 1, "-/."))
        {
            to--;
        }

        return hasDigit && scan.Tokens[to - 1].End - scan.Tokens[from].Start <= MaxLength ? to : from;
    }
}
