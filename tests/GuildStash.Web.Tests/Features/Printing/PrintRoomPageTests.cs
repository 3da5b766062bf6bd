using Bunit;
using GuildStash.Domain.Codes;
using GuildStash.Printing;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Tests.Support;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Printing;

/// <summary>The print room's page: which labels and sheets it opens.</summary>
public sealed class PrintRoomPageTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Find_WhenABinIsTyped_OpensLabelsOfItsLotsOnTheChosenSheet()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        BinView blues = await room.Guild.BinAsync("Blues");
        BinView reds = await room.Guild.BinAsync("Reds");
        LotView[] lots = [await room.LotAsync(100, l => l with { BinCode = blues.Code }), await room.LotAsync(50, l => l with { BinCode = blues.Code })];
        IRenderedComponent<PrintRoomPage> page = Show(room, "https://room.example.org");
        Says(page, "All 4 open bins, or only those you choose.");

        await page.OnAsync("#lots-of-bin", e => e.Submit());
        Says(page, "#print-bin-error", "Type or scan the bin's code.");
        await FindAsync(page, reds.Code);
        Says(page, ".panel p[role=status]", "There are no lots in this bin.");
        Assert.Empty(page.FindAll("#print-bin-error"));
        await FindAsync(page, blues.Display);
        Says(page, ".panel p[role=status] a", "Open 2 labels");
        string codes = $"codes={lots[0].Code},{lots[1].Code}";
        Assert.Equal($"/print/lot-labels.pdf?sheet={LabelSheetLayout.A4Of21.Key}&{codes}", page.Find("p[role=status] a").GetAttribute("href"));
        Says(page, "2 labels on one sheet; label 3 is the next free one.");

        await page.OnAsync("#labels-sheet", e => e.Change(LabelSheetLayout.LetterOf10.Key));
        await page.OnAsync("#labels-start", e => e.Input("10"));
        page.WaitForAssertion(() => Assert.Equal($"/print/lot-labels.pdf?sheet={LabelSheetLayout.LetterOf10.Key}&start=10&{codes}", page.Find("p[role=status] a").GetAttribute("href")), RoomPages.Patience);
        Says(page, "2 labels on 2 sheets; label 2 of the last is the next free one.");
        Assert.Equal($"/print/test-page.pdf?sheet={LabelSheetLayout.LetterOf10.Key}&start=10", page.Find("a[href^='/print/test-page']").GetAttribute("href"));
        await FindAsync(page, "82D-F");
        page.WaitForAssertion(() => Assert.Empty(page.FindAll("p[role=status] a")), RoomPages.Patience);
        Assert.Contains("check character", Words(page.FindAll("#print-bin-error")), StringComparison.Ordinal);
        string nowhere = BinCode.FromSerial(999).Display;
        await FindAsync(page, nowhere);
        Says(page, "#print-bin-error", $"There is no bin {nowhere}. Check the label.");
    }

    [Fact]
    public async Task Bags_WhenOneHasLots_OffersItsSheetAndOnPressingTheLotLabels()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        IRenderedComponent<PrintRoomPage> empty = Show(room, null);
        Says(empty, "No bag was logged yet. Intake sheets appear here when one is.");
        Says(empty, "The codes on these labels would point to");
        LoggedGift gift = await room.Guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(2000, 0, []), new BagInput(1000, 0, [])] }, Cancellation));
        LotView lot = await room.Guild.LotAsync(gift.Bags[1].Id);
        IRenderedComponent<PrintRoomPage> page = Open<PrintRoomPage>("/print");

        page.WaitForAssertion(() => Assert.Equal(2, page.FindAll("tbody tr").Count), RoomPages.Patience);
        Assert.Equal([$"/print/intake-sheet/{gift.Id}.pdf?bag=1", $"/print/intake-sheet/{gift.Id}.pdf?bag=2"], page.FindAll("tbody a[href*=intake-sheet]").Select(a => a.GetAttribute("href")));
        Assert.Single(page.FindAll("tbody button"));
        await PressAsync(page, "Lot labels");

        page.WaitForElement("tbody a[href*=lot-labels]", RoomPages.Patience);
        Assert.Equal($"/print/lot-labels.pdf?sheet={LabelSheetLayout.A4Of21.Key}&codes={lot.Code}", page.Find("tbody a[href*=lot-labels]").GetAttribute("href"));
        Assert.Empty(page.FindAll("tbody button"));
    }

    private static async Task FindAsync(IRenderedComponent<PrintRoomPage> page, string bin)
    {
        await page.OnAsync("#print-bin", e => e.Change(bin));
        await page.DoneAsync("#lots-of-bin", e => e.SubmitAsync());
    }

    private IRenderedComponent<PrintRoomPage> Show(DeskRoom room, string? publicUrl)
    {
        Ui.Services.AddSingleton(new AppSettings("", publicUrl));
        Enter(room, room.Volunteer);
        return Open<PrintRoomPage>("/print");
    }
}
