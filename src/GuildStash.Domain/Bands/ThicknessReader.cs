using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>"4 ply", "UK 4-ply", "DK", "worsted 4", "CYC 6", "合太".</summary>
internal static class ThicknessReader
{
    private static readonly Vocabulary<bool> Ply = new((true, "ply|plys|plies"));

    private static readonly Vocabulary<PlyCountry> Countries = new(
        (PlyCountry.UnitedKingdom, "uk|gb|british|england"),
        (PlyCountry.Australia, "au|aus|australia|australian|nz"),
        (PlyCountry.UnitedStates, "us|usa|american"));

    private static readonly Vocabulary<bool> NumberHeading = new((true, "cyc|yarn weight|weight|weight class|class|category|symbol"));

    // How it was spun, and from which animals.
    private static readonly Vocabulary<bool> NotThickness = new((true, "worsted spun|baby alpaca|baby camel|baby llama|baby merino|baby yak"));

    public static void ReadPly(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            bool named = Countries.TryMatch(scan, at, out PlyCountry country, out int number);
            number = named ? scan.Skip(number, ":-(") : at;
            int unit = scan.IsSign(number + 1, "-") ? number + 2 : number + 1;
            if (scan.Number(number) is not { IsWhole: true } ply || !Ply.TryMatch(scan, unit, out _, out int next))
            {
                continue;
            }

            int behind = scan.Skip(next, ",-(");
            if (!named && Countries.TryMatch(scan, behind, out country, out int end) && scan.Number(end) is null)
            {
                (named, next) = (true, end);
            }

            BandPiece[] pieces = [scan.Claim(at, next)];
            Outcome<Thickness> thickness = Thickness.FromPly((int)Math.Min(ply.Value, int.MaxValue), named ? country : scan.Options.PlyCountry);
            scan.Add(thickness, pieces, each => new ThicknessField(pieces, each));
            at = next - 1;
        }
    }

    public static void ReadJapanese(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (ThicknessNames.Japanese.TryMatch(scan, at, out Thickness thickness, out int next))
            {
                scan.Add(new ThicknessField([scan.Claim(at, next)], thickness));
                at = next - 1;
            }
        }
    }

    /// <summary>Numbers of the standard that are called so.</summary>
    public static void ReadNumbers(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (NumberHeading.TryMatch(scan, at, out _, out int next) && TryNumber(scan, scan.Skip(next, ":#.=(-"), out int number, out next) && !Amounts.TryUnit(scan, next, out _, out _))
            {
                next = ThicknessNames.Standard.TryMatch(scan, next, out _, out int name) ? name : next;
                AddNumber(scan, at, next, number);
                at = next - 1;
            }
        }
    }

    public static void ReadNames(BandScan scan)
    {
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (NotThickness.TryMatch(scan, at, out _, out int next))
            {
                at = next - 1;
            }
            else if (TryNumber(scan, at, out int number, out next) && ThicknessNames.Standard.TryMatch(scan, scan.Skip(next, "-:)"), out _, out next) && scan.Word(next) is null)
            {
                AddNumber(scan, at, next, number);
                at = next - 1;
            }
            else if (ThicknessNames.Trade.TryMatch(scan, at, out Thickness thickness, out next))
            {
                scan.Add(new ThicknessField([scan.Claim(at, next)], thickness));
                if (TryNumber(scan, scan.Skip(next, "(#,-"), out number, out int behind) && scan.Word(behind) is null)
                {
                    AddNumber(scan, behind - 1, behind, number);
                    next = behind;
                }

                at = next - 1;
            }
        }
    }

    private static void AddNumber(BandScan scan, int from, int to, int number)
    {
        BandPiece[] pieces = [scan.Claim(from, to)];
        scan.Add(Thickness.FromStandardNumber(number), pieces, each => new ThicknessField(pieces, each));
    }

    private static bool TryNumber(BandScan scan, int at, out int number, out int next)
    {
        bool found = scan.Number(at) is { IsWhole: true, Value: >= 0 and <= 9 } && !scan.IsSign(at + 1, "/%×");
        (number, next) = (found ? (int)scan.Number(at)!.Value.Value : 0, at + 1);
        return found;
    }
}
