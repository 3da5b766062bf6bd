using System.Security.Claims;
using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.Options;

namespace GuildStash.Web.Infrastructure.Security;

/// <summary>
/// Puts role, name and display choices into the cookie, the guild's choices where the person made none. The cookie is looked at every
/// minute, and all of them are read anew then.
/// </summary>
internal sealed class PersonClaims(UserManager<Person> users, GuildDbContext db, IOptions<IdentityOptions> options) : UserClaimsPrincipalFactory<Person>(users, options)
{
    protected override async Task<ClaimsIdentity> GenerateClaimsAsync(Person user)
    {
        ClaimsIdentity identity = await base.GenerateClaimsAsync(user);
        identity.AddClaim(new Claim(identity.RoleClaimType, user.Role.Key()));
        identity.AddClaim(new Claim(DisplayClaims.Name, user.DisplayName));
        var guild = await db.Guilds.Select(g => new { g.Culture, g.LengthUnit }).SingleOrDefaultAsync();
        if ((user.Culture ?? guild?.Culture) is { Length: > 0 } culture)
        {
            identity.AddClaim(new Claim(DisplayClaims.Culture, culture));
        }

        if ((user.LengthUnit ?? guild?.LengthUnit) is { } unit)
        {
            identity.AddClaim(new Claim(DisplayClaims.LengthUnit, unit.ToString()));
        }

        identity.AddClaim(new Claim(DisplayClaims.Theme, user.Theme.ToString()));
        return identity;
    }
}
