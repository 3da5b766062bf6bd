using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Identity;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Tokens with which other programs act as a person. The token is shown once; the database keeps only its hash.</summary>
public static class BearerTokens
{
    public const string Scheme = "Bearer";

    /// <summary>Begins every token, so that one left in a file or a log is recognised.</summary>
    public const string Prefix = "gs_";

    private const int SecretBytes = 32;
    private const string ApiPath = "/api";
    private const string OpenApiPath = "/openapi";

    /// <summary>A new secret: the prefix and 256 random bits.</summary>
    public static string New() => Prefix + Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(SecretBytes));

    /// <summary>SHA-256 is enough without salt or stretching: 256 random bits can't be guessed or looked up.</summary>
    public static byte[] HashOf(string token) => SHA256.HashData(Encoding.UTF8.GetBytes(token));

    /// <summary>Claim with the token's <see cref="TokenScope"/>; people who are signed in by cookie have none.</summary>
    public const string ScopeClaim = "guildstash:scope";

    /// <summary>Whoever presents a valid token that reaches so far, and nobody who has only a cookie. Every address of the API asks for it.</summary>
    public static AuthorizationPolicy Policy { get; } = new AuthorizationPolicyBuilder(Scheme)
        .RequireAuthenticatedUser().RequireAssertion(asked => asked.Resource is HttpContext context && Reaches(context)).Build();

    /// <summary>What a token that only reads is told where something would be written.</summary>
    public static Refusal ReadsOnly { get; } = new("token-reads-only", RefusalKind.Forbidden,
        new Phrase("This token reads only: it is good for GET. Make one that may write on your account page, or use another."));

    /// <summary>A token that reads only is good for what changes nothing by its verb.</summary>
    public static bool Reaches(HttpContext context) =>
        context.User.FindFirst(ScopeClaim)?.Value != nameof(TokenScope.Read) || HttpMethods.IsGet(context.Request.Method) || HttpMethods.IsHead(context.Request.Method);

    /// <summary>Adds the scheme. Under /api it stands in for the cookie's, which therefore can't sign anybody in there.</summary>
    public static IServiceCollection AddBearerTokens(this IServiceCollection services)
    {
        services.AddAuthentication().AddScheme<AuthenticationSchemeOptions, BearerTokenHandler>(Scheme, null);
        return services.Configure<CookieAuthenticationOptions>(
            IdentityConstants.ApplicationScheme, options => options.ForwardDefaultSelector = context => IsForToken(context.Request, options.Cookie.Name) ? Scheme : null);
    }

    /// <summary>
    /// The description of the API is read by programs with a token and by people who are signed in with a browser. Whoever has neither
    /// is told to send a token: a program takes a sign-in page for the description.
    /// </summary>
    private static bool IsForToken(HttpRequest request, string? cookie) =>
        request.Path.StartsWithSegments(ApiPath)
        || (request.Path.StartsWithSegments(OpenApiPath)
            && (request.Headers.ContainsKey("Authorization") || cookie is null || !request.Cookies.ContainsKey(cookie)));
}
