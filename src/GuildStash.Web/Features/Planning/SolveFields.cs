using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Domain.Yardage;
using GuildStash.Planning;
using GuildStash.Planning.Problem;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Planning;

/// <summary>Reads what a plan is asked with; nothing of the guild's is read.</summary>
internal static class SolveFields
{
    public const double UsualSeconds = 10;
    public const double MostSeconds = 60;
    public const double LeastSeconds = 0.1;
    private const int AnyNumber = 1_000;
    private const int MostRead = 10_000;

    public static Outcome<(PlanProblem Problem, PlanOptions Options)> Read(SolveBody body)
    {
        Check check = new();
        double seconds = body.Seconds ?? UsualSeconds;
        check.That(seconds > 0, "seconds", "A search of {0} seconds: more than 0 is allowed; more than {1} are not taken.", seconds, MostSeconds);
        check.That((body.Lots?.Count ?? 0) <= MostRead && (body.Pieces?.Count ?? 0) <= MostRead, "lots", "At most {0:N0} lots and pieces are read.", MostRead);
        if (check.Failed)
        {
            return check.Refuse<(PlanProblem, PlanOptions)>();
        }

        PlanInput input = new()
        {
            Lots = [.. (body.Lots ?? []).Select((lot, i) => ReadLot(lot ?? new(), $"lots[{i}]", check)).OfType<PlanLot>()],
            Pieces = [.. (body.Pieces ?? []).Select((piece, i) => ReadPiece(piece ?? new(), $"pieces[{i}]", check))],
            Substitutes = ReadStrands(body.TwoStrands ?? [], check),
            Safety = body.Safety ?? 0.95,
            MinutesLimit = body.MinutesLimit,
        };
        if (check.Failed)
        {
            return Outcome<(PlanProblem, PlanOptions)>.Refused([.. check.Refusals.Take(20)]);
        }

        Outcome<PlanProblem> problem = PlanProblem.Create(input);
        return problem.IsOk
            ? (problem.Value, new PlanOptions { Seconds = Math.Clamp(seconds, LeastSeconds, MostSeconds), Seed = body.Seed })
            : Outcome<(PlanProblem, PlanOptions)>.Refused(problem.Refusals);
    }

    private static PlanLot? ReadLot(SolveLot lot, string at, Check check)
    {
        string code = lot.Code?.Trim() ?? "";
        Mass? mass = At(MassLimits.LotMass(lot.Grams ?? 0), at + ".grams", check) is { Milligrams: > 0 } given ? given : null;
        LotYarn? yarn = ReadYarn(lot, code, at, check);
        FibreContent? fibres = At(FibreContent.Create((lot.Fibres ?? []).Select(fibre => new FibreShare(fibre?.Code?.Trim().ToUpperInvariant() ?? "", fibre?.Percent))), at + ".fibres", check);
        Colour? colour = ReadHex(lot.ColourHex, at + ".colourHex", check);
        if (mass is not { } grams || yarn is null || fibres is null)
        {
            return null;
        }

        Conditions conditions = (lot.Conditions ?? []).Aggregate(Conditions.None, (all, next) => all | next);
        return new()
        {
            Code = code,
            Mass = grams,
            Yarn = yarn,
            WeightClass = lot.WeightClass,
            ColourFamily = lot.ColourFamily ?? (colour is { } hue ? ColourNames.Describe(hue).Family : null),
            Colour = colour,
            Traits = new(fibres, lot.MachineWashable ?? Tristate.Unknown, conditions, fibres.HasMetallic, Softness.Unknown),
            DyeLot = lot.DyeLot,
            Wish = lot.Wish ?? 0,
        };
    }

    private static LotYarn? ReadYarn(SolveLot lot, string code, string at, Check check)
    {
        string field = at + ".metresPer100g";
        if (lot.MetresPer100g is null && lot.WeightClass is { } known)
        {
            WeightClassRow row = GuildYardage.Stateless.Table.Row(known);
            return LotYarn.Of(row.Low.MetresPer100Grams, row.Middle.MetresPer100Grams, row.High.MetresPer100Grams, known);
        }

        if (lot.MetresPer100g is not { Low: { } low, High: { } high } range)
        {
            check.That(false, field, "Lot \"{0}\" says neither how many metres 100 g of it have (low and high) nor its weight class: give one of them.", code);
            return null;
        }

        double likely = range.Likely ?? Math.Sqrt(Math.Max(0, low) * Math.Max(0, high));
        if (low < 1 || high > 100_000 || !(low <= likely && likely <= high))
        {
            check.That(false, field, "Lot \"{0}\" has {1} to {2} m to 100 g with {3} as likely: 1 to 100,000 is allowed, low not above likely and likely not above high.", code, low, high, likely);
            return null;
        }

        return LotYarn.Of(low, likely, high, lot.WeightClass, lot.Basis ?? EstimateBasis.ClassAsserted);
    }

    /// <summary>A piece that is told with its parts.</summary>
    public static PlanPiece ReadPiece(SolvePiece piece, string at, Check check)
    {
        RecipientRules rules = RecipientRules.None;
        foreach (string? key in piece.Rules ?? [])
        {
            (RecipientRules rule, string known, _) = RecipientRuleBook.Each.FirstOrDefault(each => string.Equals(each.Key, key?.Trim(), StringComparison.OrdinalIgnoreCase));
            check.That(known is not null, at + ".rules", "\"{0}\" is no rule. Known are {1}.", Shortened(key), string.Join(", ", RecipientRuleBook.Each.Select(each => each.Key)));
            rules |= rule;
        }

        return new()
        {
            Name = piece.Name?.Trim() ?? "",
            Wanted = piece.Wanted ?? 0,
            Priority = piece.Priority ?? 1,
            Rules = rules,
            Minutes = piece.Minutes ?? 0,
            Parts = [.. (piece.Parts ?? []).Take(100).Select((part, i) => ReadPart(part ?? new(), i, $"{at}.parts[{i}]", check)).OfType<PlanPart>()],
        };
    }

    private static PlanPart? ReadPart(SolvePart part, int i, string at, Check check)
    {
        check.That(ColourWish.TryParse(part.Colour, out ColourWish wish), at + ".colour",
            "\"{0}\" is no colour wish: any, oneLot, oneFamily, family:blue, palette:5, contrast:Body or match:Body are. Families are {1}.", Shortened(part.Colour), string.Join(", ", ColourFamilyTerms.Keys));
        check.That(part.MetresPer100g is null or { Low: not null, High: not null }, at + ".metresPer100g", "A window of lengths needs low and high.");
        LengthNeed? need = part switch
        {
            { MetresRange: { Low: { } low, Likely: { } likely, High: { } high }, Metres: null } => At(LengthNeed.OfRange(low, likely, high), at + ".metresRange", check),
            { MetresRange: null, Metres: { } metres } => At(LengthNeed.OfSafe(metres), at + ".metres", check),
            _ => At<LengthNeed>(Refusal.Invalid("metres", "A part needs its length: either metres, or metresRange with low, likely and high."), at + ".metres", check),
        };
        return need is null ? null : new()
        {
            Name = part.Name?.Trim() ?? $"part {i + 1}",
            Need = need,
            WeightClasses = [.. (part.WeightClasses ?? []).Distinct()],
            Window = part.MetresPer100g is { Low: { } least, High: { } most } ? new(least, most) : null,
            Strands = part.Strands ?? 1,
            Colour = wish with { Target = ReadHex(part.ColourHex, at + ".colourHex", check) },
            OnlyFibres = [.. (part.OnlyFibres ?? []).Select(code => code?.Trim().ToUpperInvariant() ?? "")],
            MaxLots = part.MaxLots ?? (wish.Kind == ColourWishKind.OneLot ? 1 : AnyNumber),
            DyeLotsMayMix = part.DyeLotsMayMix ?? true,
        };
    }

    private static StrandSubstitutes ReadStrands(IReadOnlyList<SolveStrands?> rules, Check check)
    {
        check.That(rules.All(rule => rule is { From: not null, To: not null }), "twoStrands", "A rule for two strands needs both classes, \"from\" and \"to\".");
        return At(StrandSubstitutes.Create(rules.Where(rule => rule is { From: not null, To: not null }).Select(rule => new StrandSubstitute(rule!.From!.Value, 2, rule.To!.Value))), "twoStrands", check)
            ?? PlanInput.NoSubstitutes;
    }

    private static Colour? ReadHex(string? hex, string at, Check check)
    {
        if (string.IsNullOrWhiteSpace(hex))
        {
            return null;
        }

        Outcome<Colour> colour = Colour.Parse(hex);
        if (colour.IsOk)
        {
            return colour.Value;
        }

        check.Add(colour.Refusal with { Field = at });
        return null;
    }

    /// <summary>The value, or its refusals under the field of the whole body.</summary>
    private static T? At<T>(Outcome<T> outcome, string field, Check check)
    {
        foreach (Refusal refusal in outcome.Refusals)
        {
            check.Add(refusal with { Field = field });
        }

        return outcome.IsOk ? outcome.Value : default;
    }

    private static string Shortened(string? text) => text is { Length: > 40 } ? text[..40] + "…" : text ?? "";
}
