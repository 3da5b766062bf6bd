namespace GuildStash.Web.Components.Layout;

/// <summary>What waits at each station; null or zero shows no number.</summary>
/// <param name="Intake">Gifts not yet decided on.</param>
/// <param name="Sorting">Bags not yet sorted to the end.</param>
/// <param name="Bins">Bins that ask for a look: quarantine over, or a count due.</param>
/// <param name="Projects">Projects with pieces still wanted.</param>
/// <param name="HandOver">Holds waiting to be handed over and returns waiting for inspection.</param>
/// <param name="SecondPerson">Requests that the signed-in person may approve.</param>
/// <param name="MyYarn">The signed-in person's own holds that are ready.</param>
public sealed record WaitingCounts(int? Intake, int? Sorting, int? Bins, int? Projects, int? HandOver, int? MyYarn, int? SecondPerson = null);

/// <summary>Reads the counts for the signed-in person. Without an implementation the menu shows none.</summary>
public interface IWaitingCounts
{
    Task<WaitingCounts> ReadAsync(CancellationToken cancellationToken);
}
