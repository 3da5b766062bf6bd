using GuildStash.Domain.Care;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Bands;

/// <summary>"30°", "machine wash 40 °C", "superwash", "Handwäsche", "nicht waschen", "3 dots".</summary>
internal static class CareReader
{
    private static readonly Vocabulary<WashLabel> Words = new(
        (WashLabel.MachineInWords, "superwash|super wash|machine wash|machine washable|machine washing|waschmaschinenfest|maschinenwaschbar|maschinenwasche|waschmaschine|lavable en machine|lavage en machine|machine a laver|lavable a maquina|lavado a maquina|洗濯機"),
        (WashLabel.MachineInWords.With(MechanicalAction.VeryMild), "wool cycle|wool wash|wollwaschgang|wollwasche|programme laine|programa lana"),
        (WashLabel.HandWash, "hand wash|handwash|hand washable|hand washing|wash by hand|handwasche|lavage a la main|lavage main|lavar a mano|lavado a mano|手洗い"),
        (WashLabel.DoNotWash, "do not wash|not washable|dry clean only|nicht waschen|nicht waschbar|ne pas laver|no lavar|nur chemische reinigung|nur chemisch reinigen"));

    private static readonly Vocabulary<MechanicalAction> Actions = new(
        (MechanicalAction.Mild, "mild|gentle|gentle cycle|delicate|delicates|schonend|schonwaschgang|schonwasche|feinwasche|delicat|delicado"),
        (MechanicalAction.VeryMild, "very mild|very gentle|sehr mild|sehr schonend|tres delicat"));

    private static readonly Vocabulary<bool> Degrees = new((true, "grad|degrees|degree|degres|grados|c|celsius"));
    private static readonly Vocabulary<bool> Dots = new((true, "dot|dots|wash dot|wash dots"));

    public static void Read(BandScan scan)
    {
        List<BandPiece> pieces = [];
        List<WashLabel> said = [];
        int? celsius = null;
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (Words.TryMatch(scan, at, out WashLabel label, out int next))
            {
                said.Add(label);
                pieces.Add(scan.Claim(at, next));
            }
            else if (TryDots(scan, at, out next) is { } dots)
            {
                Keep(scan, WashLabel.Dots(dots), said, pieces, scan.Claim(at, next));
            }
            else if (TryCelsius(scan, at, out next) is { } degrees)
            {
                pieces.Add(scan.Claim(at, next));
                celsius = celsius is { } before ? Math.Min(before, degrees) : degrees;
            }
        }

        if (pieces.Count > 0)
        {
            Add(scan, said, ReadAction(scan, pieces), celsius, [.. pieces.OrderBy(piece => piece.Start)]);
        }
    }

    /// <summary>"Gentle" and the like, which say something only beside a way to wash.</summary>
    private static MechanicalAction ReadAction(BandScan scan, List<BandPiece> pieces)
    {
        MechanicalAction gentlest = MechanicalAction.Normal;
        for (int at = 0; at < scan.Tokens.Count; at++)
        {
            if (Actions.TryMatch(scan, at, out MechanicalAction action, out int next))
            {
                pieces.Add(scan.Claim(at, next));
                gentlest = action > gentlest ? action : gentlest;
            }
        }

        return gentlest;
    }

    private static void Add(BandScan scan, List<WashLabel> said, MechanicalAction action, int? celsius, IReadOnlyList<BandPiece> pieces)
    {
        bool byHand = said.Contains(WashLabel.HandWash);
        action = said.Select(label => label.Action).Append(action).Max();
        if (celsius is { } degrees)
        {
            // A number in a tub without a hand is a machine wash; beside words it is their temperature.
            Outcome<WashLabel> tub = byHand ? WashLabel.Hand(degrees) : WashLabel.Tub(degrees);
            if (!tub.IsOk)
            {
                scan.Refuse(tub.Refusal, pieces);
                return;
            }

            said.Remove(WashLabel.HandWash);
            said.Add(tub.Value);
        }

        // Words without a number add nothing to a tub with one.
        if (said.Any(label => label is { Treatment: WashTreatment.Machine, MaxCelsius: not null }))
        {
            said.RemoveAll(label => label is { Treatment: WashTreatment.Machine, MaxCelsius: null });
        }

        if (said.Select(label => label.Treatment).Distinct().Count() > 1)
        {
            scan.Contradict(new BandConflict(new Phrase("The band allows different ways to wash; the gentlest counts."), pieces));
        }

        // Superwash beside a hand in the tub leaves the hand's temperature as it is.
        WashTreatment gentlest = said.Max(label => label.Treatment);
        scan.Add(new CareField(pieces, said.Where(label => label.Treatment == gentlest).Aggregate(WashLabel.Together).With(action)));
    }

    private static void Keep(BandScan scan, Outcome<WashLabel> label, List<WashLabel> said, List<BandPiece> pieces, BandPiece piece)
    {
        if (label.IsOk)
        {
            said.Add(label.Value);
            pieces.Add(piece);
        }
        else
        {
            scan.Refuse(label.Refusal, [piece]);
        }
    }

    private static int? TryDots(BandScan scan, int at, out int next)
    {
        next = at;
        return scan.Number(at) is { IsWhole: true, Value: < 100 } number && Dots.TryMatch(scan, at + 1, out _, out next) ? (int)number.Value : null;
    }

    /// <summary>"30°", "30 °C", "30C", "30 Grad"; a lone "c" only where it touches the number.</summary>
    private static int? TryCelsius(BandScan scan, int at, out int next)
    {
        next = at;
        if (scan.Number(at) is not { IsWhole: true, Value: < 1000 } number)
        {
            return null;
        }

        int behind = scan.Skip(at + 1, "°");
        bool hasSign = behind > at + 1;
        if (scan.IsSign(behind, "℃"))
        {
            next = behind + 1;
        }
        else if (scan.Word(behind) == "f")
        {
            return null;
        }
        else
        {
            bool word = Degrees.TryMatch(scan, behind, out _, out int end) && (hasSign || scan.Word(behind) != "c" || scan.Touches(behind));
            next = word ? end : behind;
        }

        return next > at + 1 ? (int)number.Value : null;
    }
}
