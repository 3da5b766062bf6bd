using GuildStash.Browser.Tests.Access;
using GuildStash.Browser.Tests.Support;
using GuildStash.Data;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using Microsoft.EntityFrameworkCore;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Journeys;

/// <summary>A volunteer sorts by keyboard, and copies a band.</summary>
[Collection(DemoCollection.Name)]
public sealed class BenchJourney(DemoSite demo)
{
    private const int MostKeys = 12;

    private static ILocator WrapsOf(IPage page) => page.Locator("[id='wraps.count']");

    private async Task<IPage> OpenAsync()
    {
        IPage page = demo.Of(Role.Volunteer).Page;
        await page.SetViewportSizeAsync(1440, 900);
        await demo.Of(Role.Volunteer).GoAsync(demo.Address("/sorting/{bag}"));
        return page;
    }

    private async Task<Lot> NewestAsync()
    {
        await using GuildDbContext db = GuildDatabase.Open(demo.Site.OwnerConnectionString);
        return await db.Lots.Include(lot => lot.Bin).OrderByDescending(lot => lot.CreatedAt).FirstAsync(TestContext.Current.CancellationToken);
    }

    [Fact]
    public async Task Sort_WhenBagFibreAndBinRepeat_TakesAtMostTwelveKeysForALot()
    {
        IPage page = await OpenAsync();
        await page.GetByLabel("Fibre 1", new() { Exact = true }).SelectOptionAsync("CO");
        await page.Locator("#binCode").FillAsync(demo.Address("{bin}"));
        await WrapsOf(page).FillAsync("9");
        await page.GetByLabel("Grams", new() { Exact = true }).FillAsync("10");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator(".said")).ToContainTextAsync("Undo that");
        await Expect(WrapsOf(page)).ToBeFocusedAsync();
        await Expect(WrapsOf(page)).ToHaveValueAsync("");
        Lot first = await NewestAsync();

        await page.EvaluateAsync("() => { window.keysPressed = 0; document.addEventListener('keydown', () => window.keysPressed++, true); }");
        await page.Keyboard.TypeAsync("13");
        await page.Keyboard.PressAsync("Enter");
        await page.Keyboard.TypeAsync("104.5");
        await page.Keyboard.PressAsync("Enter");
        await Expect(WrapsOf(page)).ToHaveValueAsync("");
        await Expect(WrapsOf(page)).ToBeFocusedAsync();

        Assert.InRange(await page.EvaluateAsync<int>("() => window.keysPressed"), 5, MostKeys);
        Lot lot = await NewestAsync();
        Assert.NotEqual(first.Id, lot.Id);
        Assert.Equal((13m, 104_500, first.BagId, demo.Address("{bin}")), (lot.WrapsCount, lot.OnHandMg, lot.BagId, lot.Bin.Code));
        Assert.Equal("CO", lot.FibreCodes[0]);
        Assert.Equal(first.FibreCodes, lot.FibreCodes);
        Assert.Empty(demo.Of(Role.Volunteer).Faults);
    }

    [Fact]
    public async Task CopyTheBand_WhenItHasUnknownWords_TheLotHasItsFiguresAndIsFoundByThem()
    {
        IPage page = await OpenAsync();
        await page.Locator("#bandText").FillAsync("80% WO 20% PA, LL 420 m/100 g, 4 ply, 2,5 mm flurpel");
        await page.GetByLabel("In which country was this band printed?").SelectOptionAsync(new SelectOptionValue { Label = "United Kingdom" });
        await Expect(page.Locator("[id='band.metres']")).ToHaveValueAsync("420");
        await Expect(page.Locator(".band-box > .hint")).ToContainTextAsync("2,5 mm · flurpel");
        await page.GetByLabel("Grams", new() { Exact = true }).FillAsync("12");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#bandText")).ToHaveValueAsync("");
        await Expect(page.Locator(".said")).ToContainTextAsync("Undo that");

        Lot lot = await NewestAsync();
        Assert.Equal((420.0, 100_000L, "Fingering"), (lot.BandMetres, lot.BandMg, $"{lot.AssertedClass}"));
        Assert.Equal(["WO", "PA"], lot.FibreCodes);
        await page.GotoAsync("/inventory/lots?q=flurpel");
        await Expect(page.GetByRole(AriaRole.Link, new() { Name = Domain.Codes.LotCode.Parse(lot.Code).Value.Display })).ToBeVisibleAsync();
        Assert.Empty(demo.Of(Role.Volunteer).Faults);
    }
}
