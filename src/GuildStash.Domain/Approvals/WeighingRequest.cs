using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Approvals;

/// <summary>A new weight of a lot that is far from the books; approving books the difference.</summary>
/// <param name="LotCode">Without hyphen.</param>
/// <param name="BookMg">Milligrams that the books had in the lot's bin when it was weighed.</param>
/// <param name="ShownMg">Milligrams that the scale showed.</param>
/// <param name="ScaleDivisionMg">Its smallest step; null: not noted.</param>
/// <param name="ScaleId">The scale of the register; null where that is not known.</param>
/// <param name="UpTo">The lot's latest movement when it was weighed, in the order of writing; null in requests from before this was kept.</param>
/// <param name="WholeBalls">Balls that had their band on when it was weighed; null in requests from before this was kept.</param>
public sealed record WeighingRequest(string LotCode, long BookMg, long ShownMg, long? ScaleDivisionMg, Guid? ScaleId, long? UpTo = null, int? WholeBalls = null)
{
    public long DifferenceMg => ShownMg - BookMg;

    public string Display => Codes.LotCode.Parse(LotCode).Value.Display;

    public Phrase Sentence() => new(
        DifferenceMg < 0 ? "Lot {0}: the scale shows {1}, the books have {2} in its bin; {3} would be taken off." : "Lot {0}: the scale shows {1}, the books have {2} in its bin; {3} would be added.",
        Display, Mass.FromMilligrams(ShownMg), Mass.FromMilligrams(BookMg), Mass.FromMilligrams(Math.Abs(DifferenceMg)));

    /// <summary>What has changed since it was weighed; null when nothing has.</summary>
    /// <param name="bookMg">What the books have in the lot's bin now.</param>
    public Phrase? Since(long bookMg) => bookMg == BookMg
        ? null
        : new("When lot {0} was weighed, the books had {1} there; now they have {2}. The difference of {3} would be booked on that.",
            Display, Mass.FromMilligrams(BookMg), Mass.FromMilligrams(bookMg), Mass.FromMilligrams(DifferenceMg));
}
