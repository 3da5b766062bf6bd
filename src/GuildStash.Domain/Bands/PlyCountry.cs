using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>Where a band was printed, because "4 ply" is a fine yarn in one country and a medium one in another.</summary>
public enum PlyCountry
{
    UnitedKingdom = 0,
    Australia = 1,
    UnitedStates = 2,
}

/// <summary>Keys and names of the countries whose ply names differ.</summary>
public static class PlyCountryTerms
{
    private static readonly Terms<PlyCountry> Words = new(
        (PlyCountry.UnitedKingdom, "uk", "United Kingdom"),
        (PlyCountry.Australia, "au", "Australia or New Zealand"),
        (PlyCountry.UnitedStates, "us", "USA"));

    public static IReadOnlyCollection<string> Keys => Words.Keys;

    public static string Key(this PlyCountry country) => Words.Key(country);

    public static Phrase Name(this PlyCountry country) => Words.Name(country);

    public static bool TryParse(string? key, out PlyCountry country) => Words.TryParse(key, out country);
}
