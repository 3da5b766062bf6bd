using System.Globalization;

namespace GuildStash.Domain.Rules;

/// <summary>Rejects arguments that no caller may pass; the message prints the value and the allowed range.</summary>
public static class Guard
{
    /// <exception cref="ArgumentOutOfRangeException">The value is NaN or outside [low, high].</exception>
    public static double InRange(double value, double low, double high, string name) =>
        value >= low && value <= high ? value : throw OutOfRange(value, low, high, name);

    /// <inheritdoc cref="InRange(double, double, double, string)"/>
    public static decimal InRange(decimal value, decimal low, decimal high, string name) =>
        value >= low && value <= high ? value : throw OutOfRange(value, low, high, name);

    /// <inheritdoc cref="InRange(double, double, double, string)"/>
    public static long InRange(long value, long low, long high, string name) =>
        value >= low && value <= high ? value : throw OutOfRange(value, low, high, name);

    private static ArgumentOutOfRangeException OutOfRange<T>(T value, T low, T high, string name) =>
        new(name, value, string.Create(CultureInfo.InvariantCulture, $"{name} is {value}; allowed is {low} to {high}."));
}
