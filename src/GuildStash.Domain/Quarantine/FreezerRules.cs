using GuildStash.Domain.Rules;

namespace GuildStash.Domain.Quarantine;

/// <summary>What was read and done in one freezer run; degrees Celsius.</summary>
/// <param name="Warmest">Null: there was no thermometer.</param>
/// <param name="Opened">The freezer was opened meanwhile.</param>
/// <param name="ThawedAt">When everything was fully thawed; null while it is not.</param>
public sealed record FreezerReadings(DateTimeOffset In, DateTimeOffset Out, decimal? Coldest, decimal? Warmest, bool Opened, DateTimeOffset? ThawedAt);

/// <summary>What a run is worth under the protocol.</summary>
/// <param name="Why">Why it is below the protocol; empty when it meets it.</param>
public sealed record FreezerVerdict(IReadOnlyList<Phrase> Why)
{
    public bool MeetsProtocol => Why.Count == 0;
}

/// <summary>
/// Judges freezer runs. Time counts only while the warmest reading meets the protocol: a domestic freezer of −18 °C is warmer than every
/// protocol of −20 °C. What falls short is "below protocol", never "treated".
/// </summary>
public static class FreezerRules
{
    public const decimal LeastCelsius = -100;
    public const decimal MostCelsius = 40;

    public static FreezerVerdict Judge(QuarantineProtocol protocol, FreezerReadings run)
    {
        List<Phrase> why = [];
        if (run.Warmest is not { } warmest)
        {
            why.Add(new("Nobody read a thermometer, so nobody knows how cold it was."));
        }
        else if (warmest > protocol.FreezerMaxCelsius)
        {
            why.Add(new("The warmest reading was {0} °C; the protocol asks for {1} °C or colder all the time.", QuarantineProtocol.Degrees(warmest), QuarantineProtocol.Degrees(protocol.FreezerMaxCelsius)));
        }

        if (run.Out - run.In < TimeSpan.FromDays(protocol.FreezerDays))
        {
            why.Add(new("It was in the freezer for {0} hours; the protocol asks for {1} days ({2} hours).", (int)(run.Out - run.In).TotalHours, protocol.FreezerDays, protocol.FreezerDays * 24));
        }

        if (run.Opened)
        {
            why.Add(new("The freezer was opened meanwhile; the time has to begin anew."));
        }

        if (run.ThawedAt is null)
        {
            why.Add(new("It was not noted when everything was fully thawed; opened before, damp settles on the yarn."));
        }

        return new FreezerVerdict(why);
    }

    /// <summary>What can't be: each refusal at its field.</summary>
    public static IReadOnlyList<Refusal> Check(FreezerReadings run, DateTimeOffset now)
    {
        List<Refusal> wrong = [];
        if (run.Out <= run.In || run.Out > now)
        {
            wrong.Add(Refusal.Invalid("outAt", "The bags can't have come out then: it has to be after they went in, and not in the future."));
        }

        if (run.ThawedAt is { } thawed && (thawed < run.Out || thawed > now))
        {
            wrong.Add(Refusal.Invalid("thawedAt", "They can't have been thawed then: it has to be after they came out, and not in the future."));
        }

        foreach ((decimal? celsius, string field) in new[] { (run.Coldest, "coldest"), (run.Warmest, "warmest") })
        {
            if (celsius is < LeastCelsius or > MostCelsius)
            {
                wrong.Add(Refusal.Invalid(field, "{0} °C can't be; allowed are {1} to {2}.", QuarantineProtocol.Degrees(celsius.Value), QuarantineProtocol.Degrees(LeastCelsius), QuarantineProtocol.Degrees(MostCelsius)));
            }
        }

        if (run is { Coldest: { } coldest, Warmest: { } warmest } && coldest > warmest)
        {
            wrong.Add(Refusal.Invalid("coldest", "The coldest reading ({0} °C) is warmer than the warmest ({1} °C). Check both.", QuarantineProtocol.Degrees(coldest), QuarantineProtocol.Degrees(warmest)));
        }

        return wrong;
    }

    /// <summary>Beside the freezer and on the intake sheet.</summary>
    public static IReadOnlyList<Phrase> Cautions { get; } =
    [
        new("Freeze in small, loose bags of sealed polyethylene. Do not open the freezer meanwhile, and let everything thaw fully before opening a bag: damp settles on cold yarn."),
        new("A domestic freezer of −18 °C is warmer than every protocol of −20 °C. Lay a thermometer inside that keeps its warmest reading."),
        new("Never use a microwave, an oven or a hot car. Live insects: seal, mark, out of the room, tell the coordinator the same day; an infested room and pesticides are for licensed professionals. Local rules decide."),
    ];
}
