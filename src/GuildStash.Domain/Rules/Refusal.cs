namespace GuildStash.Domain.Rules;

/// <summary>Why something was refused, as far as the caller must tell the cases apart.</summary>
public enum RefusalKind
{
    /// <summary>A value is out of range or of the wrong form; <see cref="Refusal.Field"/> names it.</summary>
    Invalid,

    /// <summary>No such thing, or none that this person may see.</summary>
    NotFound,

    /// <summary>The person may not do this.</summary>
    Forbidden,

    /// <summary>The rule depends on the present state: it may pass at another time or with another lot.</summary>
    Conflict,

    /// <summary>Something that the program needs is away: it may pass later, unchanged.</summary>
    Unavailable,
}

/// <summary>A refusal in a sentence: which rule, what happened, what is allowed.</summary>
/// <param name="Rule">Stable key of the broken rule in kebab-case, for instance "not-enough-free".</param>
/// <param name="Kind">How the caller should treat it.</param>
/// <param name="Sentence">What happened, which value, what is allowed, what to do.</param>
/// <param name="Field">The input field in camelCase that the sentence belongs to, if one does.</param>
public sealed record Refusal(string Rule, RefusalKind Kind, Phrase Sentence, string? Field = null)
{
    public static Refusal Invalid(string field, string text, params object[] arguments) =>
        new("invalid-value", RefusalKind.Invalid, new Phrase(text, arguments), field);

    public static Refusal NotFound(string text, params object[] arguments) =>
        new("not-found", RefusalKind.NotFound, new Phrase(text, arguments));

    public static Refusal Forbidden(string text, params object[] arguments) =>
        new("not-allowed", RefusalKind.Forbidden, new Phrase(text, arguments));

    public static Refusal Conflict(string rule, string text, params object[] arguments) =>
        new(rule, RefusalKind.Conflict, new Phrase(text, arguments));

    public override string ToString() => Sentence.ToString();
}

/// <summary>What a rule or a use case answers: a value, or at least one refusal.</summary>
public readonly struct Outcome<T>
{
    private readonly T? _value;
    private readonly IReadOnlyList<Refusal>? _refusals;

    private Outcome(T? value, IReadOnlyList<Refusal>? refusals) => (_value, _refusals) = (value, refusals);

    public bool IsOk => _refusals is null;

    /// <exception cref="InvalidOperationException">The outcome is a refusal.</exception>
    public T Value => _refusals is null
        ? _value!
        : throw new InvalidOperationException("A refusal has no value: " + string.Join(" ", _refusals));

    public IReadOnlyList<Refusal> Refusals => _refusals ?? [];

    /// <summary>The first refusal.</summary>
    /// <exception cref="InvalidOperationException">The outcome is a value.</exception>
    public Refusal Refusal => _refusals is { Count: > 0 } ? _refusals[0] : throw new InvalidOperationException("Nothing was refused.");

    public static implicit operator Outcome<T>(T value) => new(value, null);

    public static implicit operator Outcome<T>(Refusal refusal) => new(default, [refusal]);

    public static Outcome<T> Refused(IReadOnlyList<Refusal> refusals) =>
        refusals.Count > 0 ? new(default, refusals) : throw new ArgumentException("At least one refusal is needed.", nameof(refusals));
}
