using System.Diagnostics.CodeAnalysis;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Codes;

/// <summary>
/// The code on a lot's label: six characters and an ISO/IEC 7064 MOD 37-2 check character. There are 2³⁰.
/// The default value is no code and has an empty <see cref="Value"/>.
/// </summary>
public readonly record struct LotCode
{
    private static readonly CodeSpace Space = new(length: 6, multiplier: 663_608_943, offset: 810_543_722, group: 4, field: "lotCode", example: "K7M4-P9U");

    private readonly string? _value;

    private LotCode(string value) => _value = value;

    /// <summary>Serials run from 0 to one less than this; about one in seven is skipped.</summary>
    public static long SerialCount => Space.Count;

    /// <summary>The whole code without hyphen, as it is stored: "K7M4P9U".</summary>
    public string Value => _value ?? "";

    /// <summary>The code in groups, as it is printed: "K7M4-P9U".</summary>
    public string Display => Space.Display(Value);

    /// <exception cref="ArgumentOutOfRangeException">Not from 0 to <see cref="SerialCount"/> − 1.</exception>
    /// <exception cref="ArgumentException">The serial is not usable.</exception>
    public static LotCode FromSerial(long serial) => new(Space.Value(serial));

    /// <summary>False for serials whose check character would be 0, 1, I, O or *; they are skipped, and that is no gap.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not from 0 to <see cref="SerialCount"/> − 1.</exception>
    public static bool IsUsable(long serial) => Space.IsUsable(serial);

    /// <summary>The code of the first usable serial from <paramref name="serial"/> on, which then points behind it.</summary>
    /// <exception cref="InvalidOperationException">No usable serial is left.</exception>
    public static LotCode Next(ref long serial) => new(Space.Next(ref serial));

    /// <summary>Reads what a person typed or scanned: any case, spaces and hyphens anywhere. The refusal says what is wrong.</summary>
    public static Outcome<LotCode> Parse(string? typed)
    {
        Outcome<string> code = Space.Parse(typed);
        return code.IsOk ? new LotCode(code.Value) : code.Refusal;
    }

    /// <inheritdoc cref="Parse"/>
    public static bool TryParse([NotNullWhen(true)] string? typed, out LotCode code)
    {
        Outcome<LotCode> parsed = Parse(typed);
        code = parsed.IsOk ? parsed.Value : default;
        return parsed.IsOk;
    }

    public override string ToString() => Display;
}
