using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>What a request for a release from quarantine would do, and the inspection that it rests on.</summary>
/// <param name="BagNumber">Number of the bag whose lots go with it; null where a single lot is meant.</param>
/// <param name="LotCode">Code without hyphen of the single lot; null where a bag is meant.</param>
/// <param name="Lots">Lots that would be carried to the bin.</param>
/// <param name="Mg">Milligrams in those lots when it was asked for.</param>
/// <param name="BinCode">Code without hyphen of the open bin.</param>
/// <param name="Note">What was looked at and found.</param>
public sealed record QuarantineReleaseRequest(string? BagNumber, string? LotCode, int Lots, long Mg, string BinCode, string Note)
{
    /// <summary>What would happen, in a sentence.</summary>
    public Phrase Sentence() => this switch
    {
        { LotCode: { } code } => new("Lot {0} ({1}) leaves quarantine for bin {2} and can be reserved.", Codes.LotCode.Parse(code).Value.Display, Mass.FromMilligrams(Mg), Bin),
        { Lots: 0 } => new("Bag {0} leaves quarantine and can be sorted into open bins.", BagNumber!),
        { Lots: 1 } => new("Bag {0} leaves quarantine; its lot ({1}) goes to bin {2} and can be reserved.", BagNumber!, Mass.FromMilligrams(Mg), Bin),
        _ => new("Bag {0} leaves quarantine; {1} lots ({2}) of it go to bin {3} and can be reserved.", BagNumber!, Lots, Mass.FromMilligrams(Mg), Bin),
    };

    /// <summary>What has changed since it was asked for; empty when nothing has.</summary>
    public IReadOnlyList<Phrase> Since(int lots, long mg)
    {
        List<Phrase> since = [];
        if (lots != Lots)
        {
            since.Add(new("When this was asked for, {0} lots were concerned; now there are {1}.", Lots, lots));
        }

        if (mg != Mg)
        {
            since.Add(new("When this was asked for, the books had {0} there; now they have {1}.", Mass.FromMilligrams(Mg), Mass.FromMilligrams(mg)));
        }

        return since;
    }

    private string Bin => Codes.BinCode.Parse(BinCode).Value.Display;
}
