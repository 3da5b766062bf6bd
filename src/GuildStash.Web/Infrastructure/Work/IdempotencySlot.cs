namespace GuildStash.Web.Infrastructure.Work;

/// <summary>
/// The key under which the present request must be done at most once, if it carries one. Scoped: the next write of this scope uses it
/// up, keeps its answer in the write's own transaction, and answers a repetition from there.
/// </summary>
public sealed class IdempotencySlot
{
    private (string Route, string Key, byte[] BodyHash)? _armed;

    /// <summary>Whether the answer of this scope's write was kept from an earlier request.</summary>
    public bool Replayed { get; internal set; }

    public void Arm(string route, string key, byte[] bodyHash) => _armed = (route, key, bodyHash);

    internal (string Route, string Key, byte[] BodyHash)? TakeOut()
    {
        (string, string, byte[])? armed = _armed;
        _armed = null;
        return armed;
    }
}
