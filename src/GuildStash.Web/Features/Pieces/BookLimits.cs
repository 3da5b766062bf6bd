namespace GuildStash.Web.Features.Pieces;

/// <summary>How much the piece book takes.</summary>
public static class BookLimits
{
    /// <summary>As many as a plan takes of one piece.</summary>
    public const int MostParts = 12;

    /// <summary>Pieces in use; more than any list to choose from shows. Judgement.</summary>
    public const int MostPieces = 1_000;
}
