using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Fibres;

/// <summary>Keys and names of how the fibre content is known.</summary>
public static class FibreBasisTerms
{
    private static readonly Terms<FibreBasis> Words = new(
        (FibreBasis.Unknown, "unknown", "Not known"),
        (FibreBasis.VolunteerJudged, "volunteerJudged", "A volunteer's judgement"),
        (FibreBasis.DonorSaid, "donorSaid", "The donor said so"),
        (FibreBasis.TestConsistent, "testConsistent", "A test is consistent with it"),
        (FibreBasis.BandSeen, "bandSeen", "Seen on the band"));

    public static IReadOnlyCollection<string> Keys => Words.Keys;

    public static string Key(this FibreBasis basis) => Words.Key(basis);

    public static Phrase Name(this FibreBasis basis) => Words.Name(basis);

    public static bool TryParse(string? key, out FibreBasis basis) => Words.TryParse(key, out basis);
}
