using GuildStash.Domain.Quantities;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Sorting;

/// <summary>What a ball is and how long, as far as the row tells already; the same rules as when it is saved, without the database.</summary>
/// <param name="Yarn">Class and length per mass; null while nothing says anything about them.</param>
/// <param name="Length">Length of the grams entered; null while either is missing or wrong.</param>
/// <param name="Mass">The ball's own mass, its core taken off; null while it is missing or wrong.</param>
/// <param name="Divisions">How many divisions of the scale the mass has; null without mass or division.</param>
public sealed record BallEstimate(YardageEstimate? Yarn, LengthRange? Length, Mass? Mass, double? Divisions)
{
    /// <summary>A weighing of fewer divisions says little: 20 of them make the length unsure by about ±3 % (1.645/√6/20, computed).</summary>
    public const int FewestDivisions = 20;

    public bool IsCoarselyWeighed => Divisions < FewestDivisions;

    public static BallEstimate Of(BallForm form, YardageRules rules)
    {
        LotInput input = form.Evidence();
        YarnEvidence evidence = LotFields.ReadEvidence(input, new Check());
        YardageEstimate? yarn = rules.Estimate(evidence);
        Check weighing = new();
        Mass? mass = LotFields.ReadMass(input, weighing);
        mass = weighing.Failed ? null : mass;
        double? divisions = mass is { } m && evidence.ScaleDivision is { Milligrams: > 0 } d ? m.Milligrams / (double)d.Milligrams : null;
        return new(yarn, mass is { } grams ? yarn?.LengthOf(grams, evidence.ScaleDivision) : null, mass, divisions);
    }
}
