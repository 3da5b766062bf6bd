using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Projects;

/// <summary>Length of yarn that a part of a piece takes, of one strand: what is planned with, and how sure it is.</summary>
public sealed record LengthNeed
{
    /// <summary>10 km: a large blanket takes two or three. Judgement, to catch a slip of the decimal point.</summary>
    public const int MostMetres = 10_000;

    private LengthNeed(Length low, Length likely, Length safe) => (Low, Likely, Safe) = (low, likely, safe);

    /// <summary>What it takes less than about once in twenty; the same as <see cref="Safe"/> where only that is known.</summary>
    public Length Low { get; }

    public Length Likely { get; }

    /// <summary>What it takes more than about once in twenty: the figure to reserve.</summary>
    public Length Safe { get; }

    /// <summary>Whether only the safe figure is known, which then counts as exact.</summary>
    public bool IsExact => Low == Safe;

    /// <summary>A need that is already on the safe side, for instance a pattern's own figure.</summary>
    /// <param name="metres">More than 0, at most 10,000.</param>
    /// <param name="field">Input field that a refusal names.</param>
    public static Outcome<LengthNeed> OfSafe(double metres, string field = "metres") =>
        Wrong(metres, field) is { } refusal ? refusal : new LengthNeed(Length.FromMetres(metres), Length.FromMetres(metres), Length.FromMetres(metres));

    /// <summary>A need with its range.</summary>
    /// <param name="low">More than 0.</param>
    /// <param name="likely">Between low and high.</param>
    /// <param name="high">At most 10,000 m.</param>
    /// <param name="field">Input field that a refusal names.</param>
    public static Outcome<LengthNeed> OfRange(double low, double likely, double high, string field = "metres")
    {
        if ((Wrong(low, field) ?? Wrong(likely, field) ?? Wrong(high, field)) is { } refusal)
        {
            return refusal;
        }

        return low <= likely && likely <= high
            ? new LengthNeed(Length.FromMetres(low), Length.FromMetres(likely), Length.FromMetres(high))
            : Refusal.Invalid(field, "A need of {0} to {1} with {2} as likely: low must not be above likely, nor likely above high.", Length.FromMetres(low), Length.FromMetres(high), Length.FromMetres(likely));
    }

    private static Refusal? Wrong(double metres, string field) => metres is > 0 and <= MostMetres
        ? null
        : Refusal.Invalid(field, "A part that takes {0}: more than 0 and at most {1} is allowed. Check the number and its unit.", Length.Nearest(metres), Length.FromMetres(MostMetres));
}
