using System.Runtime.CompilerServices;

namespace GuildStash.Web.Components.Shared;

/// <summary>
/// Names a row of a form by the object behind it: two rows that say the same, such as two empty ones, are still two, which records are
/// not. A renderer that meets the same key twice gives the page up.
/// </summary>
public readonly struct RowKey(object row) : IEquatable<RowKey>
{
    private readonly object _row = row;

    public bool Equals(RowKey other) => ReferenceEquals(_row, other._row);

    public override bool Equals(object? obj) => obj is RowKey other && Equals(other);

    public override int GetHashCode() => RuntimeHelpers.GetHashCode(_row);

    public static bool operator ==(RowKey left, RowKey right) => left.Equals(right);

    public static bool operator !=(RowKey left, RowKey right) => !left.Equals(right);
}
