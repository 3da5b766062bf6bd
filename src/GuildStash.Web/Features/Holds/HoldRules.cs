using System.Globalization;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Holds;

/// <summary>What may be promised of a lot.</summary>
internal static class HoldRules
{
    /// <summary>Longest length that can be asked for at once, in metres.</summary>
    public const double LongestMetres = 100_000;

    /// <summary>A wish that misses what is free by less than this many metres is a rounding of the screen, not a wish for more.</summary>
    private const double Slack = 1e-6;

    /// <summary>Why nothing of this lot can be promised, for this project if one is given; empty when it can.</summary>
    /// <param name="field">Input field that the refusals name.</param>
    public static IReadOnlyList<Refusal> MayBePromised(Lot lot, Project? project, string? field)
    {
        string code = LotCode.Parse(lot.Code).Value.Display;
        return lot switch
        {
            { ClosedAt: not null } => [Conflict(field, "lot-closed", "Lot {0} is closed: nothing of it is left.", code)],
            { QuarantineReason: not null } => [Conflict(field, "lot-in-quarantine", "Lot {0} is in quarantine. It can be reserved after an inspection has released it.", code)],
            { MassKnown: false } => [Conflict(field, "mass-unknown", "Lot {0} was not weighed yet, so nobody can promise an amount of it. Ask a volunteer to weigh it.", code)],
            _ => MayGoTo(lot, project, field),
        };
    }

    /// <summary>The project's rules that the lot breaks; empty when it breaks none or goes to no project.</summary>
    public static IReadOnlyList<Refusal> MayGoTo(Lot lot, Project? project, string? field) =>
        project is null
            ? []
            : [.. RecipientRuleBook.Check(project.Rules, LotTraitsOf.Traits(lot), LotCode.Parse(lot.Code).Value.Display, project.Name).Select(r => r with { Field = field })];

    /// <summary>Milligrams that surely hold the length, weighing error included; never more than is free.</summary>
    public static Outcome<long> MgFor(Lot lot, double metres, long free, string code, string field)
    {
        if (!double.IsFinite(metres) || metres <= 0 || metres > LongestMetres)
        {
            return Refusal.Invalid(field, "{0} m can't be asked for; allowed is more than 0 and at most {1} m.", metres, LongestMetres);
        }

        if (LotTraitsOf.Stored(lot) is not { } estimate)
        {
            return Conflict(field, "length-unknown", "Nobody knows the length of lot {0} yet. Ask for grams, or have its wraps counted.", code);
        }

        double freeMetres = Low(lot, free);
        if (free <= 0 || metres > freeMetres + Slack)
        {
            return Conflict(field, "not-enough-free", "{0} m of lot {1} were asked for, and {2} m are surely free. Ask for less, or choose a second lot.",
                Rounded(metres), code, Math.Floor(freeMetres).ToString("0", CultureInfo.InvariantCulture));
        }

        return SmallestMass(lot, metres, free, estimate);
    }

    public static Refusal Conflict(string? field, string rule, string sentence, params object[] arguments) =>
        Refusal.Conflict(rule, sentence, arguments) with { Field = field };

    private static double Low(Lot lot, long mg) => mg <= 0 ? 0 : LotTraitsOf.LengthOf(lot, mg)!.Value.Low.Metres;

    private static string Rounded(double metres) => metres.ToString("0.#", CultureInfo.InvariantCulture);

    /// <summary>The low length grows with the mass, so the smallest mass that reaches the wish is found by halving; rounded up to a whole gram where the free rest allows it.</summary>
    private static long SmallestMass(Lot lot, double metres, long free, YardageEstimate estimate)
    {
        long low = Math.Clamp(estimate.Low.MassOf(Domain.Quantities.Length.FromMetres(metres)).Milligrams - 1, 0, free);
        long high = free;
        while (high - low > 1)
        {
            long middle = low + ((high - low) / 2);
            if (Low(lot, middle) >= metres)
            {
                high = middle;
            }
            else
            {
                low = middle;
            }
        }

        long wholeGrams = (high + 999) / 1000 * 1000;
        return Math.Min(wholeGrams, free);
    }
}
