using System.Buffers;
using System.Buffers.Text;
using System.Net;
using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>A link just made, by which a person chooses a new password; it is shown this once and can't be read again.</summary>
/// <param name="Path">Path of the link, from the root.</param>
public sealed record NewPasswordLink(string Path, DateTimeOffset ExpiresAt);

/// <summary>
/// Links for a new password. The sign-in library's own token is in them, so that nothing is kept: it is void as soon as the person's
/// security stamp is another, as after a new password or when the account was switched off.
/// </summary>
public static class NewPasswordLinks
{
    /// <summary>Hours that a link holds; it is handed over in person, so that a day is enough.</summary>
    public const int Hours = 24;

    internal const string Page = "/account/new-password/";

    private const int KeyBytes = 16;

    /// <summary>Stands for whoever may run the program.</summary>
    private static readonly Guid s_console = Guid.Empty;

    internal static Refusal DoesNotHold => Refusal.Conflict(
        "new-password-link", "This link leads to no new password. It works once, for {0} hours, and only as a whole: copy all of it again, or ask an administrator of your guild for a new one.", Hours);

    /// <summary>Makes a link for the active account of that address; for the admin command, which acts for nobody.</summary>
    /// <returns>The path of the link, from the root, or why there is none.</returns>
    public static async Task<Outcome<string>> IssueAsync(GuildDbContext db, UserManager<Person> people, string personEmail, CancellationToken cancellation)
    {
        Outcome<Person> person = await Accounts.ActiveAsync(db, personEmail, cancellation);
        return person.IsOk ? await MakeAsync(people, person.Value, s_console) : Outcome<string>.Refused(person.Refusals);
    }

    internal static async Task<string> MakeAsync(UserManager<Person> people, Person person, Guid madeBy)
    {
        string token = await people.GenerateUserTokenAsync(person, people.Options.Tokens.PasswordResetTokenProvider, Purpose(madeBy));
        return Page + Base64Url.EncodeToString([.. person.Id.ToByteArray(), .. madeBy.ToByteArray(), .. Convert.FromBase64String(token)]);
    }

    /// <summary>The person whose link this is, while it holds.</summary>
    internal static async Task<Person?> PersonOfAsync(GuildDbContext db, UserManager<Person> people, string? secret, CancellationToken cancellation)
    {
        if (Read(secret) is not { } link)
        {
            return null;
        }

        Person? person = await db.People.SingleOrDefaultAsync(p => p.Id == link.Person && p.DisabledAt == null, cancellation);
        return person is not null
            && await people.VerifyUserTokenAsync(person, people.Options.Tokens.PasswordResetTokenProvider, Purpose(link.MadeBy), link.Token)
            && await MayStillAsync(db, link.MadeBy, cancellation)
                ? person
                : null;
    }

    /// <summary>Whose link it says it is; nobody's where it is none.</summary>
    internal static Guid PersonIn(string? secret) => Read(secret)?.Person ?? Guid.Empty;

    private static (Guid Person, Guid MadeBy, string Token)? Read(string? secret)
    {
        byte[] bytes = new byte[Base64Url.GetMaxDecodedLength(secret?.Length ?? 0)];
        return Base64Url.DecodeFromChars(secret, bytes, out _, out int length) == OperationStatus.Done && length > 2 * KeyBytes
            ? (new Guid(bytes[..KeyBytes]), new Guid(bytes[KeyBytes..(2 * KeyBytes)]), Convert.ToBase64String(bytes[(2 * KeyBytes)..length]))
            : null;
    }

    /// <summary>Nobody may keep a way in, or up, through a link made before they lost the right.</summary>
    private static async Task<bool> MayStillAsync(GuildDbContext db, Guid madeBy, CancellationToken cancellation) =>
        madeBy == s_console || await db.People.AnyAsync(p => p.Id == madeBy && p.Role == Role.Administrator && p.DisabledAt == null, cancellation);

    /// <summary>Who made the link is part of what the token is for, so that nobody can put another in.</summary>
    private static string Purpose(Guid madeBy) => $"{UserManager<Person>.ResetPasswordTokenPurpose}:{madeBy:N}";
}

/// <summary>Makes a link by which a person who forgot the password chooses a new one; the administrator hands it over.</summary>
public sealed partial class MakeNewPasswordLink(GuildWork work, UserManager<Person> people, ILogger<MakeNewPasswordLink> log)
{
    public Task<Outcome<NewPasswordLink>> RunAsync(Guid by, Guid personId, CancellationToken cancellation) =>
        work.ReadAsync<NewPasswordLink>(by, Role.Administrator, async act =>
        {
            Person? person = await act.Db.People.SingleOrDefaultAsync(p => p.Id == personId, act.Cancellation);
            if (person is null)
            {
                return Refusal.NotFound("There is no such person.");
            }

            if (person.DisabledAt is not null)
            {
                return Refusal.Conflict("account-off", "This account is switched off. Switch it on first, then make the link.");
            }

            string path = await NewPasswordLinks.MakeAsync(people, person, act.By.Id);
            LogMade(act.By.Id, person.Id);
            return new NewPasswordLink(path, act.Now.AddHours(NewPasswordLinks.Hours));
        }, cancellation);

    [LoggerMessage(LogLevel.Information, "Person {By} made a link for a new password of person {Person}")]
    private partial void LogMade(Guid by, Guid person);
}

/// <summary>Gives a person the password that they choose by a link. The link is the right to do so; every other sign-in of theirs ends within a minute.</summary>
public sealed partial class ChooseNewPassword(GuildDbContext db, UserManager<Person> people, IHttpContextAccessor http, ILogger<ChooseNewPassword> log)
{
    /// <returns>The address with which the person signs in, or that the link does not hold: the same words whatever is wrong with it.</returns>
    public async Task<Outcome<string>> LookAsync(string? secret, CancellationToken cancellation) =>
        await NewPasswordLinks.PersonOfAsync(db, people, secret, cancellation) is { } person ? person.Email! : NewPasswordLinks.DoesNotHold;

    /// <returns>The person's key.</returns>
    public async Task<Outcome<Guid>> RunAsync(string? secret, string? chosen, CancellationToken cancellation)
    {
        // What LookAsync read before the lock would be taken for the present state.
        db.ChangeTracker.Clear();
        await using var transaction = await db.Database.BeginTransactionAsync(cancellation);
        await db.Database.ExecuteSqlAsync($"select 1 from person where id = {NewPasswordLinks.PersonIn(secret)} for update", cancellation);
        if (await NewPasswordLinks.PersonOfAsync(db, people, secret, cancellation) is not { } person)
        {
            LogRefused(From);
            return NewPasswordLinks.DoesNotHold;
        }

        Check check = new();
        Accounts.CheckPassword(chosen, "password", check);
        if (check.Failed)
        {
            return check.Refuse<Guid>();
        }

        IdentityResult result = await people.ResetPasswordAsync(person, await people.GeneratePasswordResetTokenAsync(person), chosen!);
        if (!result.Succeeded)
        {
            return Outcome<Guid>.Refused([.. result.Errors.Select(Accounts.ToRefusal)]);
        }

        // Who tried old passwords first would else be kept out with the new one.
        await people.ResetAccessFailedCountAsync(person);
        await people.SetLockoutEndDateAsync(person, null);
        await transaction.CommitAsync(cancellation);
        LogChosen(person.Id, From);
        return person.Id;
    }

    private IPAddress? From => http.HttpContext?.Connection.RemoteIpAddress;

    [LoggerMessage(LogLevel.Information, "Person {Person} chose a new password by a link, from {Address}")]
    private partial void LogChosen(Guid person, IPAddress? address);

    [LoggerMessage(LogLevel.Warning, "A link for a new password, used from {Address}, was refused")]
    private partial void LogRefused(IPAddress? address);
}
