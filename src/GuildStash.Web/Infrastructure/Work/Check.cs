using GuildStash.Domain.Rules;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>Collects what is wrong with an input, so that a person sees all of it at once.</summary>
public sealed class Check
{
    private readonly List<Refusal> _refusals = [];

    public bool Failed => _refusals.Count > 0;

    public IReadOnlyList<Refusal> Refusals => _refusals;

    public void Add(Refusal refusal) => _refusals.Add(refusal);

    /// <summary>The value, or the default with the refusals collected.</summary>
    public T? Take<T>(Outcome<T> outcome)
    {
        if (outcome.IsOk)
        {
            return outcome.Value;
        }

        _refusals.AddRange(outcome.Refusals);
        return default;
    }

    public void That(bool holds, string field, string sentence, params object[] arguments)
    {
        if (!holds)
        {
            _refusals.Add(Refusal.Invalid(field, sentence, arguments));
        }
    }

    /// <summary>Trims, and refuses what is longer than the field holds. Control characters other than line breaks are refused too.</summary>
    public string Text(string? text, string field, int longest)
    {
        string trimmed = (text ?? "").Trim();
        That(trimmed.Length <= longest, field, "This text has {0} characters; at most {1} fit. Shorten it.", trimmed.Length, longest);
        That(!trimmed.Any(Unprintable), field, "This text has characters that can't be printed. Type it again.");
        return trimmed;
    }

    /// <summary>Control characters, and those that turn the direction of the text around them.</summary>
    private static bool Unprintable(char c) =>
        (char.IsControl(c) && c is not ('\n' or '\r' or '\t')) || c is (>= '\u202A' and <= '\u202E') or (>= '\u2066' and <= '\u2069');

    /// <summary>Like <see cref="Text"/>, and not empty.</summary>
    public string Needed(string? text, string field, int longest)
    {
        string trimmed = Text(text, field, longest);
        That(trimmed.Length > 0, field, "This is needed. Fill it in.");
        return trimmed;
    }

    public Outcome<T> Refuse<T>() => Outcome<T>.Refused(_refusals);
}
