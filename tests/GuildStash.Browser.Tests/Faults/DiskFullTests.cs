using GuildStash.Browser.Tests.Support;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace GuildStash.Browser.Tests.Faults;

/// <summary>No room is left on the disk of the books: people are told so, and once there is room all goes on.</summary>
[Collection(OneAtATime.Name)]
public sealed class DiskFullTests(BrowserFixture browser)
{
    private const int DiskMegabytes = 400;
    private const int MostSaves = 4000;

    [Fact]
    public async Task DiskFull_WhenSomethingIsSaved_IsSaidAndNothingIsLost()
    {
        Assert.SkipUnless(DataFolder.MayHaveDisk, "A disk of its own can be mounted by root only.");
        using DataFolder folder = new(DiskMegabytes);
        await using ProgramSite site = await ProgramSite.StartWithServerAsync(folder.Path);
        await Founding.FoundAsync(site);
        await using Visitor volunteer = await Visitor.OpenAsync(browser, site);
        await volunteer.SignInAsync(Founding.Volunteer, Room.Password);
        using Intake intake = await Intake.BeginAsync(site);
        string gift = await intake.GiveAsync();
        string notes = new('x', 1500);
        int left = 5;
        await intake.SortAsync(gift, () => --left >= 0, notes);
        Assert.Equal(5, intake.Saved.Count);

        folder.Fill();
        int most = MostSaves;
        await intake.SortAsync(gift, () => intake.Told.IsEmpty && --most >= 0, notes);
        Assert.Equal(0, intake.BrokenOff);
        string rule = Assert.Single(intake.Told).Key;
        Assert.Contains(rule, new[] { "disk-full", "database-silent" });
        IPage page = volunteer.Page;
        await page.GotoAsync("/");
        await Expect(page.GetByRole(AriaRole.Heading).First).ToBeVisibleAsync();

        folder.MakeRoom();
        int before = intake.Saved.Count;
        await intake.SendAgainAsync();
        int more = 400;
        await intake.SortAsync(gift, () => intake.Saved.Count < before + 5 && --more >= 0, notes);
        await intake.SendAgainAsync();
        Assert.True(intake.Saved.Count >= before + 5);
        await site.AssertBooksAreCleanAsync();
        Assert.Equal(intake.Saved.Count, (await intake.GetAsync("/api/v1/lots?pageSize=1")).GetProperty("total").GetInt32());
        TestContext.Current.TestOutputHelper!.WriteLine($"told: {string.Join(", ", intake.Told.Keys)}; {intake.Saved.Count} lots acknowledged and there");
    }
}
