using System.Security.Claims;
using System.Text.Encodings.Web;
using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.AspNetCore.Authentication;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Options;
using Microsoft.Net.Http.Headers;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>
/// Finds the person of a token, anew at each call: a token that was revoked or has expired, and an account that was disabled, stop
/// at once. It grants no role; each use case asks the database for it.
/// </summary>
internal sealed class BearerTokenHandler(
    IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory loggers, UrlEncoder encoder, IDbContextFactory<GuildDbContext> contexts)
    : AuthenticationHandler<AuthenticationSchemeOptions>(options, loggers, encoder)
{
    private const int LongestToken = 100;
    private static readonly TimeSpan NotedEvery = TimeSpan.FromMinutes(10);

    private Phrase _why = new("This address needs a token: send the header \"Authorization: Bearer gs_…\". Make one on your account page.");

    protected override async Task<AuthenticateResult> HandleAuthenticateAsync()
    {
        string header = Request.Headers.Authorization.ToString();
        if (!header.StartsWith(BearerTokens.Scheme + " ", StringComparison.OrdinalIgnoreCase))
        {
            return AuthenticateResult.NoResult();
        }

        string token = header[(BearerTokens.Scheme.Length + 1)..].Trim();
        if (!token.StartsWith(BearerTokens.Prefix, StringComparison.Ordinal) || token.Length > LongestToken)
        {
            return Fail(new Phrase("This is no token of this guild: tokens begin with \"gs_\"."));
        }

        await using GuildDbContext db = await contexts.CreateDbContextAsync(Context.RequestAborted);
        byte[] hash = BearerTokens.HashOf(token);
        var known = await db.ApiTokens.AsNoTracking().Where(t => t.SecretHash == hash)
            .Select(t => new { t.Id, t.Scope, t.LastUsedAt, t.RevokedAt, t.ExpiresAt, Expired = t.ExpiresAt <= DateTimeOffset.UtcNow, Person = db.People.Single(p => p.Id == t.PersonId) })
            .SingleOrDefaultAsync(Context.RequestAborted);
        return known switch
        {
            null => Fail(new Phrase("This token is not known. Make a new one on your account page.")),
            { RevokedAt: not null } => Fail(new Phrase("This token was revoked. Make a new one on your account page.")),
            { Expired: true } => Fail(new Phrase("This token expired on {0:yyyy-MM-dd}. Make a new one on your account page.", known.ExpiresAt)),
            { Person.DisabledAt: not null } => Fail(new Phrase("This account is not active. Ask an administrator of your guild.")),
            _ => await UsedAsync(db, known.Id, known.LastUsedAt, IdentityOf(known.Person, known.Scope)),
        };
    }

    /// <summary>Notes that it was used, at most once in ten minutes: one write for many calls.</summary>
    private async Task<AuthenticateResult> UsedAsync(GuildDbContext db, Guid tokenId, DateTimeOffset? lastUsed, ClaimsIdentity identity)
    {
        DateTimeOffset now = DateTimeOffset.UtcNow;
        if (lastUsed is not { } last || now - last > NotedEvery)
        {
            await db.ApiTokens.Where(t => t.Id == tokenId).ExecuteUpdateAsync(t => t.SetProperty(x => x.LastUsedAt, now), Context.RequestAborted);
        }

        return AuthenticateResult.Success(new AuthenticationTicket(new ClaimsPrincipal(identity), BearerTokens.Scheme));
    }

    protected override Task HandleChallengeAsync(AuthenticationProperties properties)
    {
        Response.Headers.Append(HeaderNames.WWWAuthenticate, Request.Headers.ContainsKey(HeaderNames.Authorization) ? "Bearer error=\"invalid_token\"" : "Bearer");
        return ApiProblems.Of(StatusCodes.Status401Unauthorized, _why).ExecuteAsync(Context);
    }

    protected override Task HandleForbiddenAsync(AuthenticationProperties properties) =>
        (BearerTokens.Reaches(Context) ? ApiProblems.Of(StatusCodes.Status403Forbidden) : ApiProblems.Refused([BearerTokens.ReadsOnly])).ExecuteAsync(Context);

    private AuthenticateResult Fail(Phrase why)
    {
        _why = why;
        return AuthenticateResult.Fail(why.ToString());
    }

    private static ClaimsIdentity IdentityOf(Person person, TokenScope scope)
    {
        ClaimsIdentity identity = new(
            [new(ClaimTypes.NameIdentifier, person.Id.ToString()), new(ClaimTypes.Name, person.Email ?? ""), new(DisplayClaims.Name, person.DisplayName), new(BearerTokens.ScopeClaim, scope.ToString())],
            BearerTokens.Scheme);
        if (person.Culture is { Length: > 0 } culture)
        {
            identity.AddClaim(new Claim(DisplayClaims.Culture, culture));
        }

        if (person.LengthUnit is { } unit)
        {
            identity.AddClaim(new Claim(DisplayClaims.LengthUnit, unit.ToString()));
        }

        return identity;
    }
}
