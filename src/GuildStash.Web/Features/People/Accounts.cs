using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace GuildStash.Web.Features.People;

/// <summary>Makes accounts with the sign-in library's rules for addresses and passwords, its findings as sentences beside the fields.</summary>
internal static class Accounts
{
    private static Refusal AddressTaken => Refusal.Invalid("email", "There is an account with this address already. Sign in with it.");

    public static async Task<Outcome<Person>> CreateAsync(UserManager<Person> people, string? name, string? email, string? password, Role role, DateTimeOffset now)
    {
        Check check = new();
        (string displayName, string address) = CheckFields(name, email, password, check);
        await CheckRulesAsync(people, password, check);
        if (check.Failed)
        {
            return check.Refuse<Person>();
        }

        Person person = new() { Id = Guid.CreateVersion7(), DisplayName = displayName, UserName = address, Email = address, EmailConfirmed = true, Role = role, CreatedAt = now };
        IdentityResult result;
        try
        {
            result = await people.CreateAsync(person, password!);
        }
        catch (DbUpdateException exception) when (exception.InnerException is PostgresException { SqlState: PostgresErrorCodes.UniqueViolation })
        {
            return AddressTaken;
        }

        return result.Succeeded
            ? person
            : Outcome<Person>.Refused([.. result.Errors.Where(e => e.Code != "DuplicateUserName").DefaultIfEmpty(result.Errors.First()).Select(ToRefusal)]);
    }

    /// <summary>The active account of that address, for admin commands.</summary>
    public static async Task<Outcome<Person>> ActiveAsync(GuildDbContext db, string email, CancellationToken cancellation)
    {
        string address = email.Trim().ToUpperInvariant();
        return await db.People.SingleOrDefaultAsync(p => p.NormalizedEmail == address && p.DisabledAt == null, cancellation) is { } person
            ? person
            : Refusal.Invalid("email", "There is no active account with the address {0}.", email);
    }

    /// <summary>What can be said without the sign-in library, so that it is said together with what else is wrong.</summary>
    public static (string Name, string Address) CheckFields(string? name, string? email, string? password, Check check)
    {
        string displayName = check.Needed(name, "name", 120);
        string address = check.Needed(email, "email", 256);
        check.That(address.Length is 0 or > 256 || IsAddress(address), "email", "\"{0}\" is no e-mail address.", address);
        CheckPassword(password, "password", check);
        return (displayName, address);
    }

    /// <summary>The sign-in library's own rules for a password, which it would only say once everything else is right.</summary>
    public static async Task CheckRulesAsync(UserManager<Person> people, string? password, Check check)
    {
        if (string.IsNullOrEmpty(password) || password.Length > PasswordSignIn.LongestPassword)
        {
            return;
        }

        Person nobody = new() { DisplayName = "" };
        foreach (IPasswordValidator<Person> rules in people.PasswordValidators)
        {
            foreach (IdentityError error in (await rules.ValidateAsync(people, nobody, password)).Errors)
            {
                check.Add(ToRefusal(error));
            }
        }
    }

    public static void CheckPassword(string? password, string field, Check check)
    {
        check.That(!string.IsNullOrEmpty(password), field, "Choose a password.");
        check.That((password?.Length ?? 0) <= PasswordSignIn.LongestPassword, field, "A password has at most {0} characters.", PasswordSignIn.LongestPassword);
    }

    /// <summary>The address alone: the library also reads names with addresses in angle brackets.</summary>
    private static bool IsAddress(string typed) => System.Net.Mail.MailAddress.TryCreate(typed, out System.Net.Mail.MailAddress? read) && read.Address == typed;

    /// <summary>A finding of the sign-in library as a sentence at the field it is about.</summary>
    public static Refusal ToRefusal(IdentityError error) => error.Code switch
    {
        "DuplicateEmail" or "DuplicateUserName" => AddressTaken,
        "PasswordTooShort" => Refusal.Invalid("password", "This password is too short: at least 10 characters are needed. A few words in a row make a good one."),
        "PasswordRequiresUniqueChars" => Refusal.Invalid("password", "This password repeats too few characters: at least 4 different ones are needed."),
        _ when error.Code.StartsWith("Password", StringComparison.Ordinal) => Refusal.Invalid("password", "{0}", error.Description),
        _ => Refusal.Invalid("email", "{0}", error.Description),
    };
}
