using System.Diagnostics.CodeAnalysis;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Codes;

/// <summary>
/// The code on a bin's label: three characters and an ISO/IEC 7064 MOD 37-2 check character. There are 32,768.
/// The default value is no code and has an empty <see cref="Value"/>.
/// </summary>
public readonly record struct BinCode
{
    private static readonly CodeSpace Space = new(length: 3, multiplier: 20_251, offset: 18_672, group: 3, field: "binCode", example: "K7M-S");

    private readonly string? _value;

    private BinCode(string value) => _value = value;

    /// <summary>Serials run from 0 to one less than this; about one in seven is skipped.</summary>
    public static long SerialCount => Space.Count;

    /// <summary>The whole code without hyphen, as it is stored: "K7MS".</summary>
    public string Value => _value ?? "";

    /// <summary>The code in groups, as it is printed: "K7M-S".</summary>
    public string Display => Space.Display(Value);

    /// <exception cref="ArgumentOutOfRangeException">Not from 0 to <see cref="SerialCount"/> − 1.</exception>
    /// <exception cref="ArgumentException">The serial is not usable.</exception>
    public static BinCode FromSerial(long serial) => new(Space.Value(serial));

    /// <summary>False for serials whose check character would be 0, 1, I, O or *; they are skipped, and that is no gap.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Not from 0 to <see cref="SerialCount"/> − 1.</exception>
    public static bool IsUsable(long serial) => Space.IsUsable(serial);

    /// <summary>The code of the first usable serial from <paramref name="serial"/> on, which then points behind it.</summary>
    /// <exception cref="InvalidOperationException">No usable serial is left.</exception>
    public static BinCode Next(ref long serial) => new(Space.Next(ref serial));

    /// <summary>Reads what a person typed or scanned: any case, spaces and hyphens anywhere. The refusal says what is wrong.</summary>
    public static Outcome<BinCode> Parse(string? typed)
    {
        Outcome<string> code = Space.Parse(typed);
        return code.IsOk ? new BinCode(code.Value) : code.Refusal;
    }

    /// <inheritdoc cref="Parse"/>
    public static bool TryParse([NotNullWhen(true)] string? typed, out BinCode code)
    {
        Outcome<BinCode> parsed = Parse(typed);
        code = parsed.IsOk ? parsed.Value : default;
        return parsed.IsOk;
    }

    public override string ToString() => Display;
}
