using System.Globalization;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quarantine;

/// <summary>
/// What the guild asks for before yarn leaves quarantine. Bodies disagree, so temperature and days are the coordinator's settings and are
/// printed with their source.
/// </summary>
/// <param name="FreezerMaxCelsius">The warmest reading that counts, −80 to −10 °C.</param>
/// <param name="FreezerDays">Days of 24 hours in the freezer, 1 to 365.</param>
/// <param name="FreezerCycles">Runs that have to meet it, one after the other, 1 to 10.</param>
/// <param name="FreezerSource">Where temperature and days come from, for whoever reads the record later.</param>
/// <param name="ApartDays">Days apart after which an inspection may release without treatment, 10 to 730.</param>
public sealed record QuarantineProtocol(decimal FreezerMaxCelsius, int FreezerDays, int FreezerCycles, string FreezerSource, int ApartDays)
{
    public const decimal ColdestSetting = -80;
    public const decimal WarmestSetting = -10;
    public const int MostFreezerDays = 365;
    public const int MostCycles = 10;

    /// <summary>Clothes-moth eggs hatch in 7 to 10 days at room temperature (museum pest fact sheet); nothing shorter can show them.</summary>
    public const int LeastApartDays = 10;
    public const int MostApartDays = 730;

    /// <summary>−20 °C for one week: museum practice, after the source named; one cycle. 30 days apart: three times the slowest hatching at room temperature (a judgement).</summary>
    public static QuarantineProtocol Usual { get; } = new(-20, 7, 1, "Museum practice: National Park Service, Conserve O Gram 3/6 (1994)", 30);

    /// <summary>The protocol as it is shown and printed.</summary>
    public IReadOnlyList<Phrase> Sentences =>
    [
        FreezerCycles == 1
            ? new("Freezing counts when the warmest reading was {0} °C or colder for {1} days, sealed, not opened, and fully thawed before opening.", Degrees(FreezerMaxCelsius), FreezerDays)
            : new("Freezing counts when the warmest reading was {0} °C or colder for {1} days, sealed, not opened, and fully thawed before opening; {2} such runs are needed.", Degrees(FreezerMaxCelsius), FreezerDays, FreezerCycles),
        new("Without treatment an inspection may release after {0} days apart. Days alone release nothing: larvae live from 35 days to about two years.", ApartDays),
        new("Source of temperature and days: {0}", FreezerSource),
    ];

    internal static string Degrees(decimal celsius) => celsius.ToString("0.#", CultureInfo.InvariantCulture).Replace('-', '−');
}

/// <summary>What treatment and time a bag or lot has behind it.</summary>
/// <param name="Since">When it came into quarantine.</param>
/// <param name="GoodRuns">Freezer runs since then that met the protocol.</param>
/// <param name="IsInFreezer">It lies in a run that is not finished.</param>
public sealed record QuarantineStanding(QuarantineReason Reason, Conditions Conditions, DateTimeOffset Since, int GoodRuns, bool IsInFreezer);

/// <summary>When yarn may leave quarantine: treatment or time by the guild's protocol, and a recorded inspection, and a second person.</summary>
public static class ReleaseRules
{
    /// <summary>Reasons that the protocol of treatment and time is for; damp yarn and returns need an inspection only.</summary>
    public static bool NeedsTreatmentOrTime(QuarantineReason reason) => reason is QuarantineReason.Policy or QuarantineReason.AnimalOrUnknownFibre;

    /// <param name="what">The bag's number or the lot's code, for people.</param>
    public static Refusal? MayBeReleased(QuarantineStanding standing, QuarantineProtocol protocol, DateTimeOffset now, string what)
    {
        if (ConditionRules.StaysShut(standing.Conditions) || standing.Reason is QuarantineReason.SignsOfInsects or QuarantineReason.SignsOfMould)
        {
            return Refusal.Conflict("stays-shut", "{0} can't be released: mould or insects were noted on it. Discard it.", what);
        }

        if (standing.IsInFreezer)
        {
            return Refusal.Conflict("in-freezer", "{0} lies in the freezer by the books. Finish the freezer run first, then inspect it.", what);
        }

        if (!NeedsTreatmentOrTime(standing.Reason) || standing.GoodRuns >= protocol.FreezerCycles || now >= standing.Since.AddDays(protocol.ApartDays))
        {
            return null;
        }

        return Refusal.Conflict("treatment-or-time-first",
            "{0} has been apart for {1} days, and {2} freezer runs of it met the guild's protocol. {3} days or {4} such runs are needed, and then the inspection. Freeze it, or wait {5} days.",
            what, (int)(now - standing.Since).TotalDays, standing.GoodRuns, protocol.ApartDays, protocol.FreezerCycles, (int)Math.Ceiling((standing.Since.AddDays(protocol.ApartDays) - now).TotalDays));
    }
}
