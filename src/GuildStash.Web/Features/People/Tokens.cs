using System.Text.Json.Serialization;
using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>A token just made.</summary>
public sealed record IssuedToken(Guid Id, string Name, TokenScope Scope, DateTimeOffset ExpiresAt)
{
    /// <summary>The token itself, to be shown once. It never enters a kept answer, so a repeated request finds it empty.</summary>
    [JsonIgnore]
    public string Token { get; init; } = "";
}

/// <summary>A token as its person sees it afterwards.</summary>
/// <param name="LastUsedAt">To ten minutes or so; null: never.</param>
public sealed record TokenView(
    Guid Id, string Name, TokenScope Scope, DateTimeOffset CreatedAt, DateTimeOffset ExpiresAt, DateTimeOffset? RevokedAt, DateTimeOffset? LastUsedAt, bool IsActive);

/// <summary>Makes tokens; for use cases with an actor, and for the admin command, which has none.</summary>
public static class TokenIssuer
{
    public const int DefaultDays = 365;
    public const int MostDays = 730;
    public const int MostActive = 50;
    private const int LongestName = 100;

    /// <summary>Makes a token of <see cref="DefaultDays"/> for the active account of that address.</summary>
    /// <returns>The token itself, or why there is none.</returns>
    public static async Task<Outcome<string>> IssueAsync(GuildDbContext db, string personEmail, string name, TokenScope scope, CancellationToken cancellation)
    {
        Outcome<Person> person = await Accounts.ActiveAsync(db, personEmail, cancellation);
        if (!person.IsOk)
        {
            return Outcome<string>.Refused(person.Refusals);
        }

        Outcome<IssuedToken> token = await AddAsync(db, person.Value.Id, new WantedToken(name, DefaultDays, scope), DateTimeOffset.UtcNow, cancellation);
        if (!token.IsOk)
        {
            return Outcome<string>.Refused(token.Refusals);
        }

        await db.SaveChangesAsync(cancellation);
        return token.Value.Token;
    }

    internal sealed record WantedToken(string? Name, decimal Days, TokenScope Scope);

    internal static async Task<Outcome<IssuedToken>> AddAsync(GuildDbContext db, Guid personId, WantedToken wanted, DateTimeOffset now, CancellationToken cancellation)
    {
        Check check = new();
        string given = check.Needed(wanted.Name, "name", LongestName);
        check.That(wanted.Days is >= 1 and <= MostDays && decimal.IsInteger(wanted.Days), "days", "A token lasts 1 to {0} whole days; {1} were asked for.", MostDays, wanted.Days);
        check.That(Enum.IsDefined(wanted.Scope), "scope", "Say how far the token reaches: {0}.", string.Join(", ", TokenScopeTerms.Scopes.Keys));
        if (check.Failed)
        {
            return check.Refuse<IssuedToken>();
        }

        if (await db.ApiTokens.CountAsync(t => t.PersonId == personId && t.RevokedAt == null && t.ExpiresAt > now, cancellation) >= MostActive)
        {
            return Refusal.Conflict("too-many-tokens", "There are {0} active tokens already. Revoke one that is no longer used.", MostActive);
        }

        string secret = BearerTokens.New();
        ApiToken token = new() { PersonId = personId, Name = given, Scope = wanted.Scope, SecretHash = BearerTokens.HashOf(secret), CreatedAt = now, ExpiresAt = now.AddDays((int)wanted.Days) };
        db.ApiTokens.Add(token);
        return new IssuedToken(token.Id, given, token.Scope, token.ExpiresAt) { Token = secret };
    }
}

/// <summary>Makes a token that acts as the person who asks for it.</summary>
public sealed class IssueToken(GuildWork work)
{
    /// <summary>Most that one person makes within an hour, revoked ones included; a judgement: more than anybody sets up in a sitting.</summary>
    public const int MostInAnHour = 20;

    /// <param name="name">What it is for, at most 100 characters.</param>
    /// <param name="days">Whole days until it expires, 1 to <see cref="TokenIssuer.MostDays"/>.</param>
    /// <param name="scope">How far it reaches, within what its person may.</param>
    public Task<Outcome<IssuedToken>> RunAsync(Guid by, string? name, decimal days, TokenScope scope, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Member, async act =>
        {
            DateTimeOffset since = act.Now.AddHours(-1);
            int made = await act.Db.ApiTokens.CountAsync(t => t.PersonId == act.By.Id && t.CreatedAt > since, act.Cancellation);
            return made >= MostInAnHour
                ? Refusal.Conflict("too-many-tokens", "You made {0} tokens within an hour; that is the most. Wait an hour, or use one that you have.", made)
                : await TokenIssuer.AddAsync(act.Db, act.By.Id, new TokenIssuer.WantedToken(name, days, scope), act.Now, act.Cancellation);
        }, cancellation);
}

/// <summary>Ends a token: one's own, or anybody's for an administrator.</summary>
public sealed class RevokeToken(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid tokenId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Member, async act =>
        {
            ApiToken? token = await act.Db.ApiTokens.SingleOrDefaultAsync(t => t.Id == tokenId, act.Cancellation);
            if (token is null || (token.PersonId != act.By.Id && act.By.Role < Role.Administrator))
            {
                return Refusal.NotFound("There is no such token among yours.");
            }

            token.RevokedAt ??= act.Now;
            return true;
        }, cancellation);
}

/// <summary>Reads a person's own tokens.</summary>
public sealed class TokenReader(GuildWork work)
{
    /// <summary>Newest first.</summary>
    public Task<Outcome<PageOf<TokenView>>> MineAsync(Guid by, PageRequest page, CancellationToken cancellation) =>
        work.ReadAsync<PageOf<TokenView>>(by, Role.Member, async act => page.Wrong() is { } wrong
            ? wrong
            : await act.Db.ApiTokens.Where(t => t.PersonId == act.By.Id).OrderByDescending(t => t.CreatedAt).ThenBy(t => t.Id)
                .Select(t => new TokenView(t.Id, t.Name, t.Scope, t.CreatedAt, t.ExpiresAt, t.RevokedAt, t.LastUsedAt, t.RevokedAt == null && t.ExpiresAt > act.Now))
                .PageAsync(page, act.Cancellation), cancellation);
}
