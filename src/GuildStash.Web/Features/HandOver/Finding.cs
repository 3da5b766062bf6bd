using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.HandOver;

/// <summary>Whether somebody looked at yarn, and what came of it.</summary>
public enum Look
{
    /// <summary>The question has not been answered.</summary>
    Unanswered = 0,
    NothingFound = 1,
    SomethingFound = 2,
    NotYet = 3,
}

/// <summary>The answer while it is being given.</summary>
/// <param name="Noticed">Counts only where something was found.</param>
public sealed record Finding(Look Look, Conditions Noticed)
{
    public static Finding None { get; } = new(Look.Unanswered, Conditions.None);

    /// <summary>As the use cases take it: null for "nobody looked", empty for "nothing found"; or why it is no answer yet.</summary>
    public Outcome<IReadOnlyList<string>?> Answer(string field) => this switch
    {
        { Look: Look.NothingFound } => Ok([]),
        { Look: Look.NotYet } => Ok(null),
        { Look: Look.SomethingFound, Noticed: not Conditions.None } => Ok(ConditionRules.Keys(Noticed)),
        { Look: Look.SomethingFound } => Refusal.Invalid(field, "Tick what was noticed, or say that nothing was found."),
        _ => Refusal.Invalid(field, "Look at the yarn and say what you found."),
    };

    // The implicit conversion does not exist for interfaces, so the value goes through a generic helper.
    private static Outcome<IReadOnlyList<string>?> Ok(IReadOnlyList<string>? keys) => Wrap(keys);

    private static Outcome<T> Wrap<T>(T value) => value;
}
