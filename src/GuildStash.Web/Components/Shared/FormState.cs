using GuildStash.Domain.Rules;

namespace GuildStash.Web.Components.Shared;

/// <summary>What the parts of one form tell each other: which fields show their own refusals, which hold unreadable text.</summary>
public sealed class FormState
{
    private readonly List<string> _claimed = [];
    private readonly HashSet<string> _unreadable = [];

    public IReadOnlyList<Refusal> Refusals { get; internal set; } = [];

    /// <summary>Refusals that no field on the page shows.</summary>
    public IReadOnlyList<Refusal> Unclaimed =>
        [.. Refusals.Where(refusal => refusal.Field is null || !_claimed.Contains(refusal.Field))];

    /// <summary>Whether a field holds text that is not a number; submitting would silently drop it.</summary>
    public bool HasUnreadable => _unreadable.Count > 0;

    internal void Claim(string name) => _claimed.Add(name);

    internal void Release(string name) => _claimed.Remove(name);

    internal void SetUnreadable(string id, bool unreadable) => _ = unreadable ? _unreadable.Add(id) : _unreadable.Remove(id);
}
