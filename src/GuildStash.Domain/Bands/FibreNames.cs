using System.Diagnostics.CodeAnalysis;
using GuildStash.Domain.Fibres;

namespace GuildStash.Domain.Bands;

/// <summary>Finds the fibre that a single name means.</summary>
public static class FibreNames
{
    private const int MostQualities = 5;

    /// <summary>
    /// A code such as "WO", or a generic name in English, German, French, Spanish or Japanese with or without words of quality:
    /// "Baumwolle", "laine vierge", "extra fine merino wool", "アクリル". The whole text must be the name; a name that is not known
    /// stays so, for instance "bamboo silk", which is no silk.
    /// </summary>
    public static bool TryFind(string? name, [NotNullWhen(true)] out Fibre? fibre)
    {
        fibre = null;
        if (name is null or { Length: > BandText.MaxLength })
        {
            return false;
        }

        BandScan scan = new(name, BandTextOptions.Default);
        bool found = TryFind(scan, 0, anyCase: true, out Fibre? read, out int next) && next == scan.Tokens.Count;
        fibre = found ? read : null;
        return found;
    }

    /// <param name="anyCase">False outside percentages, where "se", "me" and "el" are words of their languages rather than codes.</param>
    /// <param name="next">Token behind the name.</param>
    internal static bool TryFind(BandScan scan, int at, bool anyCase, [NotNullWhen(true)] out Fibre? fibre, out int next)
    {
        int name = at;
        for (int words = 0; words <= MostQualities && !FibreWords.NoFibre.TryMatch(scan, name, out _, out _); words++)
        {
            if (FibreWords.Names.TryMatch(scan, name, out fibre, out next) || TryCode(scan, name, anyCase, out fibre, out next))
            {
                return true;
            }

            if (!FibreWords.Qualities.TryMatch(scan, name, out _, out next) && !FibreWords.Finishes.TryMatch(scan, name, out _, out next))
            {
                break;
            }

            name = next;
        }

        (fibre, next) = (null, at);
        return false;
    }

    private static bool TryCode(BandScan scan, int at, bool anyCase, [NotNullWhen(true)] out Fibre? fibre, out int next)
    {
        (fibre, next) = (null, at + 1);
        return scan.Word(at) is not null && scan.Typed(at, at + 1) is var typed && (anyCase || typed == typed.ToUpperInvariant()) && FibreTable.TryFind(typed, out fibre);
    }
}
