using GuildStash.Domain.Counts;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>What a volunteer must answer before something on a band means one thing.</summary>
public enum BandQuestion
{
    /// <summary>Answered by <see cref="BandTextOptions.PlyCountry"/>.</summary>
    PlyCountry = 0,

    /// <summary>Answered by <see cref="BandTextOptions.CountSystem"/>.</summary>
    CountSystem = 1,
}

/// <summary>The questions as sentences.</summary>
public static class BandQuestionTerms
{
    private static readonly Terms<BandQuestion> Words = new(
        (BandQuestion.PlyCountry, "plyCountry", "In which country was this band printed? A ply number names a thickness in the United Kingdom and Australia; in the USA \"4-ply\" is a medium yarn, and other numbers count strands."),
        (BandQuestion.CountSystem, "countSystem", "In which count system is this number? Wool from cones is mostly Nm, weaving cotton mostly Ne."));

    public static string Key(this BandQuestion question) => Words.Key(question);

    /// <summary>The question in full sentences.</summary>
    public static Phrase Name(this BandQuestion question) => Words.Name(question);
}

/// <summary>What is known beside the text: answers to <see cref="BandQuestion"/>.</summary>
/// <param name="PlyCountry">Where the band was printed; a country beside the ply number in the text goes before it. Null asks.</param>
/// <param name="CountSystem">System of a count such as "8/2" that names none. Null asks.</param>
/// <param name="Notation">What a folded count's number stands for: <see cref="CountNotation.Resultant"/> for spun silk.</param>
public sealed record BandTextOptions(PlyCountry? PlyCountry = null, CountSystem? CountSystem = null, CountNotation Notation = CountNotation.Singles)
{
    /// <summary>Nothing is known, everything ambiguous is asked.</summary>
    public static BandTextOptions Default { get; } = new();
}
