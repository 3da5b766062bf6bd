using GuildStash.Data.Guild;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Quarantine;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Settings;

/// <summary>The rules of the room that a coordinator sets; numbers as typed.</summary>
public sealed record RoomRulesInput
{
    /// <summary>A guild of one: who asked may confirm alone after a time.</summary>
    public bool DelayedReviewIsOn { get; init; }

    /// <summary>1 to 720.</summary>
    public decimal? DelayedReviewHours { get; init; }

    /// <summary>The warmest reading of a freezer run that counts, −80 to −10 °C.</summary>
    public decimal? FreezerMaxCelsius { get; init; }

    /// <summary>1 to 365.</summary>
    public decimal? FreezerDays { get; init; }

    /// <summary>1 to 10.</summary>
    public decimal? FreezerCycles { get; init; }

    /// <summary>Needed: where temperature and days come from.</summary>
    public string? FreezerSource { get; init; }

    /// <summary>10 to 730.</summary>
    public decimal? ApartDays { get; init; }

    /// <summary>What moisture may change in a counted mass, 0 to 50 per mille; null leaves it as it is.</summary>
    public decimal? CountMoisturePerMille { get; init; }
}

/// <summary>The rules as they stand.</summary>
/// <param name="Version">To be handed back when saving.</param>
public sealed record RoomRulesView(RoomRulesInput Fields, int Version);

/// <summary>Reads the rules of the room.</summary>
public sealed class RoomRulesReader(GuildWork work)
{
    public Task<Outcome<RoomRulesView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<RoomRulesView>(by, Role.Coordinator, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            RoomRulesInput fields = new()
            {
                DelayedReviewIsOn = guild.DelayedReviewIsOn,
                DelayedReviewHours = guild.DelayedReviewHours,
                FreezerMaxCelsius = guild.FreezerMaxCelsius,
                FreezerDays = guild.FreezerDays,
                FreezerCycles = guild.FreezerCycles,
                FreezerSource = guild.FreezerSource,
                ApartDays = guild.ApartDays,
                CountMoisturePerMille = guild.CountMoisturePerMille,
            };
            return new RoomRulesView(fields, guild.Version);
        }, cancellation);
}

/// <summary>Changes the rules of the room; what was settled before keeps how it was settled.</summary>
public sealed class SaveRoomRules(GuildWork work)
{
    /// <returns>The new version.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int version, RoomRulesInput input, CancellationToken cancellation) =>
        work.WriteAsync<int>(by, Role.Coordinator, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            if (guild.Version != version)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed the settings meanwhile. Reload to see the present state, then enter your change again.");
            }

            Check check = new();
            Apply(guild, input, check);
            if (check.Failed)
            {
                return check.Refuse<int>();
            }

            guild.Version++;
            guild.ChangedAt = act.Now;
            guild.ChangedById = act.By.Id;
            return guild.Version;
        }, cancellation);

    private static void Apply(GuildSettings guild, RoomRulesInput input, Check check)
    {
        guild.DelayedReviewIsOn = input.DelayedReviewIsOn;
        guild.DelayedReviewHours = GuildFields.Whole(input.DelayedReviewHours, "delayedReviewHours", DelayedReview.LeastHours, DelayedReview.MostHours, check);
        guild.FreezerDays = GuildFields.Whole(input.FreezerDays, "freezerDays", 1, QuarantineProtocol.MostFreezerDays, check);
        guild.FreezerCycles = GuildFields.Whole(input.FreezerCycles, "freezerCycles", 1, QuarantineProtocol.MostCycles, check);
        guild.ApartDays = GuildFields.Whole(input.ApartDays, "apartDays", QuarantineProtocol.LeastApartDays, QuarantineProtocol.MostApartDays, check);
        guild.CountMoisturePerMille = input.CountMoisturePerMille is null
            ? guild.CountMoisturePerMille
            : GuildFields.Whole(input.CountMoisturePerMille, "countMoisturePerMille", 0, CountTolerance.MostMoisturePerMille, check);
        guild.FreezerSource = check.Needed(input.FreezerSource, "freezerSource", 300);
        bool inRange = input.FreezerMaxCelsius is >= QuarantineProtocol.ColdestSetting and <= QuarantineProtocol.WarmestSetting;
        check.That(inRange, "freezerMaxCelsius", "Enter degrees Celsius from {0} to {1}.", QuarantineProtocol.ColdestSetting, QuarantineProtocol.WarmestSetting);
        if (inRange)
        {
            // Kept to a tenth, to the colder side: rounding must not make the protocol milder.
            guild.FreezerMaxCelsius = Math.Floor(input.FreezerMaxCelsius!.Value * 10) / 10;
        }
    }
}
