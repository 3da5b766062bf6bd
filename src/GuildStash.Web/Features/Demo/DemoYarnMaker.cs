using System.Globalization;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Demo;

/// <summary>Invents lots out of the scenario's yarns and colours, and finds each its bin.</summary>
internal sealed class DemoYarnMaker(DemoScenario scenario, Random random)
{
    private const int CoreGrams = 20;

    /// <param name="mayBeUnweighed">One in forty lots is then left for the scale.</param>
    public (LotInput Lot, int? Bin) Next(bool mayBeUnweighed)
    {
        DemoYarn yarn = scenario.Yarns[random.Next(scenario.Yarns.Count)];
        string hex = Shade(scenario.Colours[random.Next(scenario.Colours.Count)]);
        int evidence = random.Next(10);
        bool banded = evidence < 3;
        bool unweighed = random.Next(40) == 0 && mayBeUnweighed;
        decimal grams = banded ? 50 * random.Next(1, 5) : random.Next(12, 240);
        bool cone = random.Next(25) == 0;
        LotInput lot = new()
        {
            Grams = unweighed ? null : grams,
            MassUnknown = unweighed,
            ScaleDivisionGrams = unweighed ? null : 1,
            PutUp = cone ? PutUp.Cone : (PutUp)random.Next(4),
            CoreTareGrams = cone && !unweighed && grams > 2 * CoreGrams ? CoreGrams : null,
            Count = banded ? (int)(grams / 50) : 1,
            WeightClass = evidence == 9 ? yarn.Class : null,
            Wraps = evidence == 0 ? CountedBesideTheBand(yarn, grams) : banded || evidence == 9 ? null : new WrapsInput(2 * random.Next(yarn.Wraps[0], yarn.Wraps[1] + 1), 2),
            Band = banded ? new BandInput(yarn.MetresPer50, 50) : null,
            Fibres = [.. yarn.Fibres.Select(f => new FibreInput(f[0].GetString(), banded ? f[1].GetDecimal() : null))],
            FibreBasis = banded ? FibreBasis.BandSeen : FibreBasis.VolunteerJudged,
            MachineWashable = yarn.Washable,
            Softness = (Softness)random.Next(4),
            ColourHex = hex,
            DyeLot = banded && random.Next(2) == 0 ? random.Next(1000, 9999).ToString(CultureInfo.InvariantCulture) : null,
        };
        return (lot, BinFor(yarn.Class, hex, cone));
    }

    /// <summary>One banded lot in three was counted too, so that the room has something to learn from; no draw is spent on it.</summary>
    private static WrapsInput CountedBesideTheBand(DemoYarn yarn, decimal grams) =>
        new(2 * (yarn.Wraps[0] + ((int)grams / 50 % (yarn.Wraps[1] - yarn.Wraps[0] + 1))), 2);

    private string Shade(string hex)
    {
        Colour colour = Colour.Parse(hex).Value;
        byte Near(byte channel) => (byte)Math.Clamp(channel + random.Next(-14, 15), 0, 255);
        return new Colour(Near(colour.Red), Near(colour.Green), Near(colour.Blue)).Hex;
    }

    private int? BinFor(WeightClass weight, string hex, bool cone)
    {
        ColourFamily family = ColourNames.Describe(Colour.Parse(hex).Value).Family;
        for (int i = 0; i < scenario.Bins.Count; i++)
        {
            DemoBin bin = scenario.Bins[i];
            if (bin.Cones == cone && bin.Classes.Contains(weight) && (bin.Families.Count == 0 || bin.Families.Contains(family)))
            {
                return i;
            }
        }

        return null;
    }
}
