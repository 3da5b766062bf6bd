using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Setup;

public sealed record SetUpInput(string? GuildName, string? TimeZone, string? Culture, LengthUnit LengthUnit, string? AdministratorName, string? Email, string? Password);

/// <summary>
/// Makes the guild of an empty database: its settings, a first site with a sorting table and a quarantine bin, and the first
/// administrator. It works once; the page that calls it asks for the code from the console.
/// </summary>
public sealed class SetUpGuild(GuildDbContext db, UserManager<Person> people, GuildDefaults defaults, TimeProvider clock)
{
    private const long SetUpLock = 0x4755494C44535433;

    public Task<bool> IsNeededAsync(CancellationToken cancellation) => db.Guilds.AllAsync(g => false, cancellation);

    /// <returns>The administrator's key.</returns>
    public async Task<Outcome<Guid>> RunAsync(SetUpInput input, CancellationToken cancellation)
    {
        Check check = new();
        string name = check.Needed(input.GuildName, "guildName", 200);
        string zone = string.IsNullOrWhiteSpace(input.TimeZone) ? "Europe/London" : GuildFields.Zone(input.TimeZone, check);
        string culture = string.IsNullOrWhiteSpace(input.Culture) ? "en-GB" : input.Culture.Trim();
        GuildFields.CheckCulture(culture, check);
        check.That(Enum.IsDefined(input.LengthUnit), "lengthUnit", "Choose metres or yards.");
        Accounts.CheckFields(input.AdministratorName, input.Email, input.Password, check);
        await Accounts.CheckRulesAsync(people, input.Password, check);
        if (check.Failed)
        {
            return check.Refuse<Guid>();
        }

        await using var transaction = await db.Database.BeginTransactionAsync(cancellation);
        await db.Database.ExecuteSqlAsync($"select pg_advisory_xact_lock({SetUpLock})", cancellation);
        if (!await IsNeededAsync(cancellation))
        {
            return Refusal.Conflict("set-up-done", "This guild is set up already. Sign in.");
        }

        DateTimeOffset now = clock.GetUtcNow();
        Outcome<Person> administrator = await Accounts.CreateAsync(people, input.AdministratorName, input.Email, input.Password, Role.Administrator, now);
        if (!administrator.IsOk)
        {
            return Outcome<Guid>.Refused(administrator.Refusals);
        }

        GuildSettings guild = new() { Name = name, TimeZone = zone, Culture = culture, LengthUnit = input.LengthUnit, ChangedAt = now, ChangedById = administrator.Value.Id };
        db.Guilds.Add(guild);
        Site site = new() { Name = "Main room" };
        db.Sites.Add(site);
        await db.SaveChangesAsync(cancellation);
        await AddBinAsync(site, BinKind.SortingTable, "Sorting table", now, cancellation);
        await AddBinAsync(site, BinKind.Quarantine, "Quarantine", now.AddTicks(10), cancellation);
        await db.SaveChangesAsync(cancellation);
        await transaction.CommitAsync(cancellation);
        defaults.Set(guild);
        return administrator.Value.Id;
    }

    private async Task AddBinAsync(Site site, BinKind kind, string name, DateTimeOffset now, CancellationToken cancellation) =>
        db.Bins.Add(new Bin { Code = await BinFields.NextCodeAsync(db, cancellation), Name = name, Kind = kind, SiteId = site.Id, CreatedAt = now, ChangedAt = now });
}
