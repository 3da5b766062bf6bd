using GuildStash.Data.Guild;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Settings;

/// <summary>The guild's settings as they are entered; numbers as typed.</summary>
public sealed record SettingsInput
{
    public string? Name { get; init; }

    public string? Address { get; init; }

    /// <summary>A zone of the tz database, such as Europe/London.</summary>
    public string? TimeZone { get; init; }

    /// <summary>For people who chose none.</summary>
    public string? Culture { get; init; }

    /// <summary>For people who chose none.</summary>
    public LengthUnit LengthUnit { get; init; }

    public QuarantinePolicy QuarantinePolicy { get; init; }

    /// <summary>1 to 365.</summary>
    public decimal? HoldDays { get; init; }

    /// <summary>1 to 730.</summary>
    public decimal? LoanDays { get; init; }

    /// <summary>0 to 50 g.</summary>
    public decimal? WeighingToleranceGrams { get; init; }

    /// <summary>Whether everybody may see which yarn is wanted, without signing in.</summary>
    public bool WantedIsPublic { get; init; }
}

/// <summary>The settings as they stand.</summary>
/// <param name="Version">To be handed back when saving, so that two coordinators don't overwrite each other.</param>
public sealed record SettingsView(SettingsInput Fields, int Version, DateTimeOffset ChangedAt, string? ChangedBy);

/// <summary>Reads the guild's settings.</summary>
public sealed class SettingsReader(GuildWork work)
{
    public Task<Outcome<SettingsView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<SettingsView>(by, Role.Coordinator, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            string? changedBy = await act.Db.People.Where(p => p.Id == guild.ChangedById).Select(p => p.DisplayName).SingleOrDefaultAsync(act.Cancellation);
            SettingsInput fields = new()
            {
                Name = guild.Name,
                Address = guild.Address,
                TimeZone = guild.TimeZone,
                Culture = guild.Culture,
                LengthUnit = guild.LengthUnit,
                QuarantinePolicy = guild.QuarantinePolicy,
                HoldDays = guild.HoldDays,
                LoanDays = guild.LoanDays,
                WeighingToleranceGrams = guild.WeighingToleranceGrams,
                WantedIsPublic = guild.WantedIsPublic,
            };
            return new SettingsView(fields, guild.Version, guild.ChangedAt, changedBy);
        }, cancellation);
}

/// <summary>Changes the guild's settings. What was booked or promised before keeps its days and its place.</summary>
public sealed class SaveSettings(GuildWork work, GuildDefaults defaults)
{
    /// <returns>The new version.</returns>
    public async Task<Outcome<int>> RunAsync(Guid by, int version, SettingsInput input, CancellationToken cancellation)
    {
        Outcome<GuildSettings> saved = await work.WriteAsync<GuildSettings>(by, Role.Coordinator, act => SaveAsync(act, version, input), cancellation);
        if (!saved.IsOk)
        {
            return Outcome<int>.Refused(saved.Refusals);
        }

        defaults.Set(saved.Value);
        return saved.Value.Version;
    }

    private static async Task<Outcome<GuildSettings>> SaveAsync(Act act, int version, SettingsInput input)
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
            return check.Refuse<GuildSettings>();
        }

        guild.Version++;
        guild.ChangedAt = act.Now;
        guild.ChangedById = act.By.Id;
        return guild;
    }

    private static void Apply(GuildSettings guild, SettingsInput input, Check check)
    {
        guild.Name = check.Needed(input.Name, "name", 200);
        guild.Address = check.Text(input.Address, "address", 1000);
        guild.TimeZone = check.Needed(input.TimeZone, "timeZone", 64);
        guild.Culture = check.Needed(input.Culture, "culture", 20);
        if (guild.TimeZone.Length > 0)
        {
            guild.TimeZone = GuildFields.Zone(guild.TimeZone, check);
        }

        if (guild.Culture.Length > 0)
        {
            GuildFields.CheckCulture(guild.Culture, check);
        }

        check.That(Enum.IsDefined(input.LengthUnit), "lengthUnit", "Choose metres or yards.");
        check.That(Enum.IsDefined(input.QuarantinePolicy), "quarantinePolicy", "Choose which bags are kept apart.");
        guild.LengthUnit = input.LengthUnit;
        guild.WantedIsPublic = input.WantedIsPublic;
        guild.QuarantinePolicy = input.QuarantinePolicy;
        guild.HoldDays = GuildFields.Whole(input.HoldDays, "holdDays", 1, 365, check);
        guild.LoanDays = GuildFields.Whole(input.LoanDays, "loanDays", 1, 730, check);
        guild.WeighingToleranceGrams = GuildFields.Whole(input.WeighingToleranceGrams, "weighingToleranceGrams", 0, 50, check);
    }
}
