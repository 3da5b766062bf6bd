using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Features.Measuring;

/// <summary>What lots have in common when their lengths are added up, as people enter it.</summary>
public static class TotalFields
{
    /// <summary>A judgement; see docs/adr/0007-estimates.md.</summary>
    public const decimal UsualSharedPart = 0.5m;

    public const decimal MostScaleErrorPercent = 10;

    /// <param name="sharedPart">0 to 1.</param>
    /// <param name="scaleErrorPercent">A standard deviation in %, 0 to 10.</param>
    public static Outcome<TotalSettings> Read(decimal sharedPart, decimal scaleErrorPercent)
    {
        Infrastructure.Work.Check check = new();
        check.That(sharedPart is >= 0 and <= 1, "sharedPart", "A shared part of {0} can't be used; 0 to 1 is allowed, and {1} is usual.", sharedPart, UsualSharedPart);
        check.That(scaleErrorPercent is >= 0 and <= MostScaleErrorPercent, "scaleErrorPercent", "A scale that is off by {0} % can't be reckoned with; 0 to {1} % is allowed. Have a worse one adjusted.", scaleErrorPercent, MostScaleErrorPercent);
        return check.Failed
            ? check.Refuse<TotalSettings>()
            : new TotalSettings { SharedPart = (double)sharedPart, ScaleLogSd = (double)scaleErrorPercent / 100 };
    }
}
