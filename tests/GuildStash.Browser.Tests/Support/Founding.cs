using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Infrastructure;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Xunit;

namespace GuildStash.Browser.Tests.Support;

/// <summary>What a site needs before a test of something else begins, by the use cases that its pages and commands call.</summary>
internal static class Founding
{
    public const string Volunteer = "volunteer@example.org";

    /// <summary>A guild with an administrator and a volunteer, whose password is <see cref="Room.Password"/>.</summary>
    public static Task FoundAsync(Site site) => UseAsync(site, async services =>
    {
        Outcome<Guid> founded = await services.GetRequiredService<SetUpGuild>().RunAsync(
            new SetUpInput("Harbour Yarn Guild", "Europe/London", "en-GB", LengthUnit.Yards, "Ada Admin", "admin@example.org", Room.Password), Site.Cancellation);
        Assert.True(founded.IsOk, string.Join(" ", founded.Refusals));
        Person volunteer = new() { Id = Guid.CreateVersion7(), DisplayName = "Vera Volunteer", UserName = Volunteer, Email = Volunteer, Role = Role.Volunteer, CreatedAt = DateTimeOffset.UtcNow };
        IdentityResult added = await services.GetRequiredService<UserManager<Person>>().CreateAsync(volunteer, Room.Password);
        Assert.True(added.Succeeded, string.Join(" ", added.Errors.Select(e => e.Description)));
        return true;
    });

    /// <summary>A token of the volunteer for a program that speaks to the API.</summary>
    public static Task<string> TokenAsync(Site site, string name) => UseAsync(site, async services =>
    {
        Guid volunteer = await services.GetRequiredService<GuildDbContext>().People.Where(p => p.Email == Volunteer).Select(p => p.Id).SingleAsync(Site.Cancellation);
        Outcome<IssuedToken> issued = await services.GetRequiredService<IssueToken>().RunAsync(volunteer, name, TokenIssuer.DefaultDays, TokenScope.Write, Site.Cancellation);
        Assert.True(issued.IsOk, string.Join(" ", issued.Refusals));
        return issued.Value.Token;
    });

    private static async Task<T> UseAsync<T>(Site site, Func<IServiceProvider, Task<T>> use)
    {
        WebApplicationBuilder builder = GuildStashApp.CreateBuilder(Site.ProgramFolder, site.Address.ToString());
        builder.Logging.ClearProviders();
        builder.AddGuildStash(new AppSettings(site.AppConnectionString, null));
        await using WebApplication app = builder.Build();
        await using AsyncServiceScope scope = app.Services.CreateAsyncScope();
        return await use(scope.ServiceProvider);
    }
}
