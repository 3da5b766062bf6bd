namespace GuildStash.Planning.Risk;

/// <summary>Standard normal numbers, the same for the same seed on every machine and version.</summary>
internal struct SeededNormals(int seed)
{
    private ulong _state = unchecked((ulong)seed);
    private double _spare = double.NaN;

    /// <summary>Uniform in (0, 1).</summary>
    public double Uniform()
    {
        // SplitMix64 (Steele, Lea and Flood 2014, from memory).
        _state += 0x9E3779B97F4A7C15;
        ulong z = _state;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        z ^= z >> 31;
        return ((z >> 11) + 0.5) / (1UL << 53);
    }

    /// <summary>Box and Muller (Annals of Mathematical Statistics 1958, from memory): two at a time.</summary>
    public double Next()
    {
        if (!double.IsNaN(_spare))
        {
            double kept = _spare;
            _spare = double.NaN;
            return kept;
        }

        double radius = Math.Sqrt(-2 * Math.Log(Uniform()));
        (double sin, double cos) = Math.SinCos(2 * Math.PI * Uniform());
        _spare = radius * sin;
        return radius * cos;
    }
}
