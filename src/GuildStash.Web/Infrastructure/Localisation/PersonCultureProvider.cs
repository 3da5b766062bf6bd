using System.Security.Claims;
using GuildStash.Web.Infrastructure.Display;
using Microsoft.AspNetCore.Localization;

namespace GuildStash.Web.Infrastructure.Localisation;

/// <summary>
/// The culture that a signed-in person chose, from their claims, else the guild's; before the guild is set up, the browser's.
/// It must run after authentication and also for the circuit's own connection, since a circuit keeps the culture it was
/// opened with.
/// </summary>
public sealed class PersonCultureProvider : RequestCultureProvider
{
    public override Task<ProviderCultureResult?> DetermineProviderCultureResult(HttpContext httpContext)
    {
        string? culture = httpContext.User.FindFirstValue(DisplayClaims.Culture);
        culture = string.IsNullOrEmpty(culture) ? httpContext.RequestServices.GetRequiredService<GuildDefaults>().Culture : culture;
        return Task.FromResult(culture is null ? null : new ProviderCultureResult(culture));
    }
}
