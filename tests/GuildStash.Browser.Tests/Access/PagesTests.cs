using System.Net;
using GuildStash.Browser.Tests.Support;
using GuildStash.Data;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.TestSupport.Servers;
using GuildStash.Web.Features.Setup;
using Microsoft.Playwright;
using Npgsql;
using Xunit;

namespace GuildStash.Browser.Tests.Access;

/// <summary>What must hold for every page of <see cref="PageList"/>, looked at with the demo guild's yarn in it.</summary>
[Collection(DemoCollection.Name)]
public sealed class PagesTests(DemoSite demo, PostgresFixture postgres, BrowserFixture browser)
{
    [Fact]
    public async Task Open_WhenLightDarkOrOnAPhone_EveryPageIsAccessibleFitsAndIsQuiet()
    {
        IReadOnlyList<string>[] faults = await Task.WhenAll(PageList.All.GroupBy(spot => spot.Role)
            .Select(group => new PageWalk(demo.Of(group.Key)).WalkAsync(group.Select(spot => (demo.Address(spot.Path), spot)))));
        Assert.True(faults.All(f => f.Count == 0), string.Join('\n', faults.SelectMany(f => f)));
    }

    [Fact]
    public async Task Open_WhenThereIsNoGuildYet_TheSetUpPageIsAccessibleFitsAndIsQuiet()
    {
        await using HostedSite empty = await HostedSite.StartAsync(await postgres.CreateDatabaseAsync(MigrateAsync));
        string address = $"/setup?code={await empty.UseAsync<SetUpCode, string?>(code => code.CurrentAsync(Site.Cancellation))}";
        await using Visitor visitor = await Visitor.OpenAsync(browser, empty);
        IReadOnlyList<string> faults = await new PageWalk(visitor).WalkAsync([(address, new Spot("/setup", null)), ("/setup", new Spot("/setup", null))]);
        Assert.True(faults.Count == 0, string.Join('\n', faults));
    }

    [Fact]
    public async Task Open_WhenThePseudoLanguageIsSpoken_NoPageHasUntranslatedText()
    {
        await using HostedSite development = await demo.Site.ServeInDevelopmentAsync();
        List<string> missed = [];
        foreach (Spot spot in PageList.All.Where(s => s.Status == 200))
        {
            string address = demo.Address(spot.Path);
            string spoken = $"{address}{(address.Contains('?', StringComparison.Ordinal) ? '&' : '?')}culture=qps-Ploc&ui-culture=qps-Ploc";
            IAPIResponse answer = await demo.Of(spot.Role).Page.APIRequest.GetAsync(new Uri(development.Address, spoken).ToString());
            string html = WebUtility.HtmlDecode(await answer.TextAsync());
            Assert.True(html.Contains('⟦', StringComparison.Ordinal), $"{spot} answered {answer.Status} without a localised word.");

            // In a title the product's name, and codes and names that people gave, follow the localised words.
            missed.AddRange(UntranslatedText.Find(await answer.TextAsync()).Where(text => !text.StartsWith("title: ⟦", StringComparison.Ordinal)).Select(text => $"{spot}: {text}"));
        }

        Assert.True(missed.Count == 0, string.Join('\n', missed));
    }

    private static Task MigrateAsync(string owner) =>
        GuildDatabase.MigrateAsync(owner, new NpgsqlConnectionStringBuilder(owner) { Username = TestRoles.App }.ConnectionString, Site.Cancellation);
}
