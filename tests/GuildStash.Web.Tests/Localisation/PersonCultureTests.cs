using System.Security.Claims;
using GuildStash.Data.Guild;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Localization;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Localisation;

public sealed class PersonCultureTests
{
    [Theory]
    [InlineData("de-DE", "fr-FR", "de-DE")]
    [InlineData("", "fr-FR", "fr-FR")]
    [InlineData(null, "fr-FR", "fr-FR")]
    [InlineData(null, null, null)]
    public async Task Determine_WhenThePersonChoseOrNot_FollowsClaimThenGuild(string? claim, string? guilds, string? expected)
    {
        GuildDefaults defaults = new();
        if (guilds is not null)
        {
            defaults.Set(new GuildSettings { Name = "Sample guild", Culture = guilds });
        }

        DefaultHttpContext request = new()
        {
            RequestServices = new ServiceCollection().AddSingleton(defaults).BuildServiceProvider(),
            User = new ClaimsPrincipal(new ClaimsIdentity(claim is null ? [] : [new Claim(DisplayClaims.Culture, claim)])),
        };

        ProviderCultureResult? result = await new PersonCultureProvider().DetermineProviderCultureResult(request);

        Assert.Equal(expected, result?.Cultures[0].Value);
    }
}
