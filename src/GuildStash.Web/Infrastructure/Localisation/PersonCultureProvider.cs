using System.Security.Claims;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.AspNetCore.Localization;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>
/// The culture that a signed-in person chose, from their claims. It must run after authentication and also for the circuit's
/// own connection, since a circuit keeps the culture it was opened with.
/// </summary>
public sealed class PersonCultureProvider : RequestCultureProvider
{
    public override Task<ProviderCultureResult?> DetermineProviderCultureResult(HttpContext httpContext)
    {
        string? culture = httpContext.User.FindFirstValue(DisplayClaims.Culture);
        return Task.FromResult(string.IsNullOrEmpty(culture) ? null : new ProviderCultureResult(culture));
    }
}
