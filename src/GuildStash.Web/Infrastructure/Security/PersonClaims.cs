using System.Security.Claims;
using GuildStash.Data.People;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.Extensions.Options;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>Puts role, name and display choices into the cookie; the cookie is looked at every minute, and all of them are read anew then.</summary>
internal sealed class PersonClaims(UserManager<Person> users, IOptions<IdentityOptions> options) : UserClaimsPrincipalFactory<Person>(users, options)
{
    protected override async Task<ClaimsIdentity> GenerateClaimsAsync(Person user)
    {
        ClaimsIdentity identity = await base.GenerateClaimsAsync(user);
        identity.AddClaim(new Claim(identity.RoleClaimType, user.Role.Key()));
        identity.AddClaim(new Claim(DisplayClaims.Name, user.DisplayName));
        if (user.Culture is { Length: > 0 } culture)
        {
            identity.AddClaim(new Claim(DisplayClaims.Culture, culture));
        }

        if (user.LengthUnit is { } unit)
        {
            identity.AddClaim(new Claim(DisplayClaims.LengthUnit, unit.ToString()));
        }

        identity.AddClaim(new Claim(DisplayClaims.Theme, user.Theme.ToString()));
        return identity;
    }
}
