using GuildStash.Domain.Codes;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>A lot in a request for a merge.</summary>
/// <param name="Code">Code without hyphen.</param>
/// <param name="Mg">Milligrams on hand when it was asked for.</param>
public sealed record MergePart(string Code, long Mg);

/// <summary>What a request for a merge would do.</summary>
/// <param name="Lots">The lot that is left comes first.</param>
/// <param name="Widened">Keys of what the asker agreed to.</param>
public sealed record MergeRequest(IReadOnlyList<MergePart> Lots, IReadOnlyList<string> Widened, string Reason)
{
    /// <summary>What would happen, in a sentence.</summary>
    public Phrase Sentence() => Lots.Count == 2
        ? new("Lot {0} ({1}) goes into lot {2}, which then has {3}. The code {0} means lot {2} from then on.", Display(Lots[1].Code), Mass.FromMilligrams(Lots[1].Mg), Display(Lots[0].Code), Mass.FromMilligrams(Lots.Sum(l => l.Mg)))
        : new("Lots {0} go into lot {1}, which then has {2}. Their codes mean lot {1} from then on.", string.Join(", ", Lots.Skip(1).Select(l => Display(l.Code))), Display(Lots[0].Code), Mass.FromMilligrams(Lots.Sum(l => l.Mg)));

    /// <summary>What has changed since it was asked for; empty when nothing has.</summary>
    /// <param name="now">Milligrams on hand now, by code; a lot that is missing is gone.</param>
    public IReadOnlyList<Phrase> Since(IReadOnlyDictionary<string, long> now) =>
        [.. Lots.Where(l => now.GetValueOrDefault(l.Code) != l.Mg).Select(l =>
            new Phrase("When this was asked for, lot {0} had {1}; now it has {2}.", Display(l.Code), Mass.FromMilligrams(l.Mg), Mass.FromMilligrams(now.GetValueOrDefault(l.Code))))];

    private static string Display(string code) => LotCode.Parse(code).Value.Display;
}
