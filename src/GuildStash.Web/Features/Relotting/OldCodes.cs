using GuildStash.Domain.Codes;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Features.Relotting;

/// <summary>What people and programs are told that asked for a lot by the code of one that went into it.</summary>
internal static class OldCodes
{
    /// <summary>The code in groups.</summary>
    /// <param name="old">Without hyphen; null where the lot's own code was asked for.</param>
    public static string? Display(string? old) => old is null ? null : LotCode.Parse(old).Value.Display;

    public static Phrase Followed(string old, string living) =>
        new("Lot {0} went into lot {1}: that one is meant.", LotCode.Parse(old).Value.Display, LotCode.Parse(living).Value.Display);
}
