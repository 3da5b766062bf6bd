using GuildStash.Data.Guild;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>How a person wants to be named and to read.</summary>
/// <param name="Culture">Null or blank: the guild's.</param>
/// <param name="LengthUnit">Null: the guild's.</param>
public sealed record PreferencesInput(string? Name, string? Culture, LengthUnit? LengthUnit, Theme Theme);

/// <summary>A person's preferences, and the guild's for comparison.</summary>
public sealed record PreferencesView(PreferencesInput Own, string Email, string GuildCulture, LengthUnit GuildLengthUnit);

/// <summary>Reads the preferences of the person who asks.</summary>
public sealed class OwnPreferencesReader(GuildWork work)
{
    public Task<Outcome<PreferencesView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<PreferencesView>(by, Role.Member, async act =>
        {
            Person person = await act.Db.People.SingleAsync(p => p.Id == act.By.Id, act.Cancellation);
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            return new PreferencesView(
                new PreferencesInput(person.DisplayName, person.Culture, person.LengthUnit, person.Theme), person.Email!, guild.Culture, guild.LengthUnit);
        }, cancellation);
}

/// <summary>Saves the preferences of the person who asks.</summary>
public sealed class SaveOwnPreferences(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, PreferencesInput input, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
        {
            Check check = new();
            string name = check.Needed(input.Name, "name", 120);
            string? culture = string.IsNullOrWhiteSpace(input.Culture) ? null : input.Culture.Trim();
            if (culture is not null)
            {
                GuildFields.CheckCulture(culture, check);
            }

            check.That(input.LengthUnit is null || Enum.IsDefined(input.LengthUnit.Value), "lengthUnit", "Choose metres or yards.");
            check.That(Enum.IsDefined(input.Theme), "theme", "Choose light or dark.");
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            Person person = await act.Db.People.SingleAsync(p => p.Id == act.By.Id, act.Cancellation);
            person.DisplayName = name;
            person.Culture = culture;
            person.LengthUnit = input.LengthUnit;
            person.Theme = input.Theme;
            return true;
        }, cancellation);
}

/// <summary>Changes the password of the person who asks. Every other sign-in of theirs ends within a minute.</summary>
public sealed class ChangeOwnPassword(UserManager<Person> people, SignInManager<Person> signIn)
{
    public async Task<Outcome<bool>> RunAsync(Guid by, string? current, string? chosen)
    {
        Check check = new();
        check.That(!string.IsNullOrEmpty(current), "currentPassword", "This is needed. Fill it in.");
        Accounts.CheckPassword(chosen, "password", check);
        check.That((current?.Length ?? 0) <= PasswordSignIn.LongestPassword, "currentPassword", "A password has at most {0} characters.", PasswordSignIn.LongestPassword);
        if (check.Failed)
        {
            return check.Refuse<bool>();
        }

        Person? person = await people.FindByIdAsync(by.ToString());
        if (person is not { DisabledAt: null })
        {
            return Refusal.Forbidden("This account is not active. Ask an administrator of your guild.");
        }

        if (!(await signIn.CheckPasswordSignInAsync(person, current!, lockoutOnFailure: true)).Succeeded)
        {
            return Refusal.Invalid("currentPassword", "This is not your present password. After {0} wrong tries the account rests for {1} minutes.",
                people.Options.Lockout.MaxFailedAccessAttempts, people.Options.Lockout.DefaultLockoutTimeSpan.TotalMinutes);
        }

        IdentityResult result = await people.ChangePasswordAsync(person, current!, chosen!);
        return result.Succeeded ? true : Outcome<bool>.Refused([.. result.Errors.Select(Accounts.ToRefusal)]);
    }
}
