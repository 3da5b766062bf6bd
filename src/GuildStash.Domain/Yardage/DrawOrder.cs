namespace GuildStash.Domain.Yardage;

/// <summary>Orders of the strata, one for each source of error, that look unrelated to each other.</summary>
internal sealed class DrawOrder(ulong seed)
{
    private ulong _state = seed;

    public Run Next() => new(Word(), Word(), Word());

    /// <summary>SplitMix64 (Steele, Lea and Flood 2014, from memory).</summary>
    private ulong Word()
    {
        _state += 0x9E3779B97F4A7C15;
        ulong z = _state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    /// <summary>A permutation of the strata: odd multipliers, additions and shifts can all be undone, so no stratum is met twice.</summary>
    public readonly struct Run(ulong first, ulong second, ulong third)
    {
        private const uint Mask = LengthTotal.Draws - 1;

        public int At(int k)
        {
            uint x = (uint)k;
            x = ((x * ((uint)first | 1)) + (uint)(first >> 32)) & Mask;
            x ^= x >> 7;
            x = ((x * ((uint)second | 1)) + (uint)(second >> 32)) & Mask;
            x ^= x >> 6;
            x = ((x * ((uint)third | 1)) + (uint)(third >> 32)) & Mask;
            x ^= x >> 8;
            return (int)x;
        }
    }
}
