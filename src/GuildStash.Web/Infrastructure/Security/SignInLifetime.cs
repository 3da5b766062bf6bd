using System.Globalization;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Identity;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>
/// How long a sign-in lasts: it ends after two weeks without use, and in any case so many days after the password was typed.
/// A device that is left signed in on a shelf is not signed in for ever.
/// </summary>
public static class SignInLifetime
{
    public static readonly TimeSpan WithoutUse = TimeSpan.FromDays(14);

    /// <summary>A judgement: a volunteer types the password once a season.</summary>
    public static readonly TimeSpan Longest = TimeSpan.FromDays(90);

    private const string Since = "since";

    internal static Task BeginAsync(CookieSigningInContext context)
    {
        context.Properties.Items.TryAdd(Since, DateTimeOffset.UtcNow.ToString("O", CultureInfo.InvariantCulture));
        return Task.CompletedTask;
    }

    internal static async Task CheckAsync(CookieValidatePrincipalContext context)
    {
        DateTimeOffset begun = context.Properties.Items.TryGetValue(Since, out string? since)
            && DateTimeOffset.TryParse(since, CultureInfo.InvariantCulture, DateTimeStyles.RoundtripKind, out DateTimeOffset said)
                ? said
                : context.Properties.IssuedUtc ?? DateTimeOffset.MinValue;
        if (DateTimeOffset.UtcNow - begun > Longest)
        {
            context.RejectPrincipal();
            await context.HttpContext.SignOutAsync(IdentityConstants.ApplicationScheme);
            return;
        }

        await SecurityStampValidator.ValidatePrincipalAsync(context);
    }
}
