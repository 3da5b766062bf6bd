using System.Net;
using GuildStash.Data.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>
/// Signs a person in. A wrong password, an unknown address and a paused account get the same sentence after the same work, so that
/// nobody can find out who has an account here.
/// </summary>
public sealed partial class PasswordSignIn(
    UserManager<Person> people, SignInManager<Person> signIn, IPasswordHasher<Person> hasher, WrongTries wrongTries, ILogger<PasswordSignIn> log)
{
    public const int LongestPassword = 256;

    private const string NoMatch = "This address and this password don't go together. Check both. After {0} wrong tries an account rests for {1} minutes and takes no password.";

    /// <summary>Any hash of the present kind: comparing with it takes as long as comparing with a person's own.</summary>
    private static string? s_nobodysHash;

    public async Task<Outcome<Guid>> RunAsync(string? email, string? password, bool remember)
    {
        Check check = new();
        string address = check.Needed(email, "email", 256);
        check.That(!string.IsNullOrEmpty(password), "password", "This is needed. Fill it in.");
        if (check.Failed)
        {
            return check.Refuse<Guid>();
        }

        IPAddress? from = signIn.Context.Connection.RemoteIpAddress;
        if (!wrongTries.MayTry(from))
        {
            LogHeldBack(from);
            return new Refusal("too-many-tries", RefusalKind.Forbidden, new Phrase("From your network there were many wrong passwords. Wait {0} minutes, then try again.", WrongTries.Minutes));
        }

        Person? person = password!.Length <= LongestPassword ? await people.FindByEmailAsync(address) : null;
        if (person is null || await people.IsLockedOutAsync(person))
        {
            s_nobodysHash ??= hasher.HashPassword(person!, Guid.NewGuid().ToString());
            hasher.VerifyHashedPassword(person!, s_nobodysHash, password.Length <= LongestPassword ? password : "");
            return Refused(from, person?.Id);
        }

        SignInResult result = await signIn.CheckPasswordSignInAsync(person, password, lockoutOnFailure: true);
        if (!result.Succeeded)
        {
            return Refused(from, person.Id);
        }

        if (person.DisabledAt is not null)
        {
            LogRefused(person.Id, from);
            return Refusal.Forbidden("This account is switched off. Ask an administrator of your guild.");
        }

        await signIn.SignInAsync(person, remember);
        LogSignedIn(person.Id, from);
        return person.Id;
    }

    private Refusal Refused(IPAddress? from, Guid? person)
    {
        wrongTries.Count(from);
        LogRefused(person, from);
        return new Refusal(
            "no-match",
            RefusalKind.Forbidden,
            new Phrase(NoMatch, people.Options.Lockout.MaxFailedAccessAttempts, people.Options.Lockout.DefaultLockoutTimeSpan.TotalMinutes));
    }

    [LoggerMessage(LogLevel.Information, "Person {Person} signed in from {Address}")]
    private partial void LogSignedIn(Guid person, IPAddress? address);

    /// <summary>Nothing of what was typed: it may be a password in the wrong field.</summary>
    [LoggerMessage(LogLevel.Warning, "A sign-in as {Person} from {Address} was refused; none stands for an address that nobody has")]
    private partial void LogRefused(Guid? person, IPAddress? address);

    [LoggerMessage(LogLevel.Warning, "A sign-in from {Address} was held back after too many wrong passwords")]
    private partial void LogHeldBack(IPAddress? address);
}
