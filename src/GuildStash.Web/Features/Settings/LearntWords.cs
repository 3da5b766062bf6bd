using GuildStash.Domain.Fibres;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;

namespace GuildStash.Web.Features.Settings;

/// <summary>What the room has learnt, in sentences; each "give or take" holds nine times out of ten.</summary>
public static class LearntWords
{
    private const double NineOfTen = 1.645;

    public static Phrase Name(FibreGroup group) => group switch
    {
        FibreGroup.Animal => new("Wool, hair and silk"),
        FibreGroup.Plant => new("Cotton, linen, viscose and their like"),
        FibreGroup.Synthetic => new("Acrylic and other synthetics"),
        _ => new("Mixed, or fibre not known"),
    };

    /// <summary>How many lots it rests on.</summary>
    public static Phrase Lots(LearntLine line) => Math.Round(line.Lots) switch
    {
        0 => new("No lot teaches yet: it takes smooth yarn with counted wraps and a band's length or a weighed sample."),
        1 => new("It rests on one lot."),
        double lots => new("It rests on {0} lots.", (long)lots),
    };

    /// <summary>The constant: how much longer or shorter than the table at ten wraps.</summary>
    public static Phrase Constant(LearntLine line)
    {
        double percent = 100 * (Math.Exp(line.Constant) - 1);
        double error = 100 * NineOfTen * line.ConstantError;
        return Math.Round(percent) switch
        {
            0 => new("At 10 wraps to the inch our yarns are as long as the table says, give or take {0} %.", Shown(error)),
            > 0 => new("At 10 wraps to the inch our yarns are {0} % longer than the table says, give or take {1} %.", Math.Round(percent), Shown(error)),
            _ => new("At 10 wraps to the inch our yarns are {0} % shorter than the table says, give or take {1} %.", Math.Round(-percent), Shown(error)),
        };
    }

    /// <summary>The exponent, and the whole law.</summary>
    public static Phrase Exponent(LearntLine line, WrapsLaw law, WrapsLaw table) => new(
        "Length grows with the wraps to the power {0:0.00}, give or take {1:0.00}; in the table to the power {2:0.00}. As a formula: metres in 100 g = {3:0.0} · wraps^{0:0.00}.",
        law.Exponent, NineOfTen * line.SlopeError, table.Exponent, law.MetresPer100GramsAtOneWrap);

    /// <summary>How far single lots lie apart.</summary>
    public static Phrase Spread(LearntLine line) => Math.Sqrt(line.Spread) switch
    {
        < 0.9 => new("Single lots lie closer together than the table allows: lengths become surer."),
        > 1.1 => new("Single lots lie farther apart than the table allows: lengths become less sure."),
        _ => new("Single lots lie as far apart as the table allows."),
    };

    private static double Shown(double percent) => Math.Max(1, Math.Round(percent));
}
