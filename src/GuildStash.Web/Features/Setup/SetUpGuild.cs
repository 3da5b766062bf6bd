using GuildStash.Data;
using GuildStash.Data.Guild;
using GuildStash.Data.People;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Setup;

public sealed record SetUpInput(string? GuildName, string? TimeZone, string? Culture, LengthUnit LengthUnit, string? AdministratorName, string? Email, string? Password);

/// <summary>
/// Makes the guild of an empty database: its settings, a first site with a sorting table and a quarantine bin, and the first
/// administrator. It works once; the page that calls it asks for the code from the console.
/// </summary>
public sealed class SetUpGuild(GuildDbContext db, UserManager<Person> people, TimeProvider clock)
{
    private const long SetUpLock = 0x4755494C44535433;

    public Task<bool> IsNeededAsync(CancellationToken cancellation) => db.Guilds.AllAsync(g => false, cancellation);

    /// <returns>The administrator's key.</returns>
    public async Task<Outcome<Guid>> RunAsync(SetUpInput input, CancellationToken cancellation)
    {
        Check check = new();
        string name = check.Needed(input.GuildName, "guildName", 200);
        string zone = string.IsNullOrWhiteSpace(input.TimeZone) ? "Europe/London" : input.TimeZone.Trim();
        string culture = string.IsNullOrWhiteSpace(input.Culture) ? "en-GB" : input.Culture.Trim();
        check.That(TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _), "timeZone", "\"{0}\" is no time zone. Use a name such as Europe/London.", zone);
        check.That(LocalisationServices.Cultures.Contains(culture), "culture", "\"{0}\" is no culture this program knows.", culture);
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

        db.Guilds.Add(new GuildSettings { Name = name, TimeZone = zone, Culture = culture, LengthUnit = input.LengthUnit, ChangedAt = now, ChangedById = administrator.Value.Id });
        Site site = new() { Name = "Main room" };
        db.Sites.Add(site);
        await db.SaveChangesAsync(cancellation);
        await AddBinAsync(site, BinKind.SortingTable, "Sorting table", now, cancellation);
        await AddBinAsync(site, BinKind.Quarantine, "Quarantine", now.AddTicks(10), cancellation);
        await db.SaveChangesAsync(cancellation);
        await transaction.CommitAsync(cancellation);
        return administrator.Value.Id;
    }

    private async Task AddBinAsync(Site site, BinKind kind, string name, DateTimeOffset now, CancellationToken cancellation) =>
        db.Bins.Add(new Bin { Code = await BinFields.NextCodeAsync(db, cancellation), Name = name, Kind = kind, SiteId = site.Id, CreatedAt = now, ChangedAt = now });
}

/// <summary>Makes accounts with the sign-in library's rules for addresses and passwords, its findings as sentences beside the fields.</summary>
internal static class Accounts
{
    public static async Task<Outcome<Person>> CreateAsync(UserManager<Person> people, string? name, string? email, string? password, Role role, DateTimeOffset now)
    {
        Check check = new();
        string displayName = check.Needed(name, "name", 120);
        string address = check.Needed(email, "email", 256);
        check.That(address.Length == 0 || System.Net.Mail.MailAddress.TryCreate(address, out _), "email", "\"{0}\" is no e-mail address.", address);
        check.That(!string.IsNullOrEmpty(password), "password", "Choose a password.");
        check.That((password?.Length ?? 0) <= 256, "password", "A password has at most 256 characters.");
        if (check.Failed)
        {
            return check.Refuse<Person>();
        }

        Person person = new() { Id = Guid.CreateVersion7(), DisplayName = displayName, UserName = address, Email = address, EmailConfirmed = true, Role = role, CreatedAt = now };
        IdentityResult result = await people.CreateAsync(person, password!);
        return result.Succeeded
            ? person
            : Outcome<Person>.Refused([.. result.Errors.Where(e => e.Code != "DuplicateUserName").DefaultIfEmpty(result.Errors.First()).Select(ToRefusal)]);
    }

    private static Refusal ToRefusal(IdentityError error) => error.Code switch
    {
        "DuplicateEmail" or "DuplicateUserName" => Refusal.Invalid("email", "There is an account with this address already. Sign in with it."),
        "PasswordTooShort" => Refusal.Invalid("password", "This password is too short: at least 10 characters are needed. A few words in a row make a good one."),
        "PasswordRequiresUniqueChars" => Refusal.Invalid("password", "This password repeats too few characters: at least 4 different ones are needed."),
        _ when error.Code.StartsWith("Password", StringComparison.Ordinal) => Refusal.Invalid("password", "{0}", error.Description),
        _ => Refusal.Invalid("email", "{0}", error.Description),
    };
}
