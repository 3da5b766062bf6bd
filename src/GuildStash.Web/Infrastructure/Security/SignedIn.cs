using System.Security.Claims;
using Microsoft.AspNetCore.Components.Authorization;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Who uses this page, for handing to use cases.</summary>
public sealed class SignedIn(AuthenticationStateProvider authentication)
{
    /// <summary>The person's key; empty for a visitor, whom every use case refuses.</summary>
    public async Task<Guid> IdAsync() => IdOf((await authentication.GetAuthenticationStateAsync()).User);

    public static Guid IdOf(ClaimsPrincipal person) =>
        Guid.TryParse(person.FindFirstValue(ClaimTypes.NameIdentifier), out Guid id) ? id : Guid.Empty;
}
