using GuildStash.Domain.Rules;

namespace GuildStash.Domain.People;

/// <summary>How far a token reaches, within what its person may.</summary>
public enum TokenScope
{
    /// <summary>It reads and changes nothing.</summary>
    Read = 0,

    /// <summary>It does whatever its person may.</summary>
    Write = 1,
}

/// <summary>The words for the reach of tokens.</summary>
public static class TokenScopeTerms
{
    public static Terms<TokenScope> Scopes { get; } = new(
        (TokenScope.Read, "read", "reads only"),
        (TokenScope.Write, "write", "reads and writes"));

    public static Phrase Name(this TokenScope scope) => Scopes.Name(scope);
}
