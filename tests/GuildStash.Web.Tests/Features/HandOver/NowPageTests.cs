using Bunit;
using GuildStash.Data.Ledger;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>Straight from a lot to who stands at the table.</summary>
public sealed class NowPageTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task HandOver_WhenScannedWeighedAndNamed_IsBookedAndTheNextLotIsAskedFor()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        LotView next = await room.LotAsync(20);
        Guid project = await room.ProjectAsync();
        Enter(room, room.Volunteer);
        IRenderedComponent<NowPage> page = Open<NowPage>("/hand-over/now");

        await page.OnAsync("#lotCode", e => e.Change(lot.Display.ToLowerInvariant()));
        Says(page, "aside dd:nth-of-type(2)", "150 g, at least 231 yd");
        Assert.EndsWith($"lot={lot.Code}", Navigation.Uri, StringComparison.Ordinal);
        await page.OnAsync("#grams", e => e.Input("40"));
        Says(page, ".whole p", "110 g stay in the bin.");
        await page.OnAsync("#memberId", e => e.Input("mia"));
        Says(page, ".chosen b", "Mia Member");
        await page.OnAsync("#projectId", e => e.Change(project.ToString()));
        await page.OnAsync("#now", e => e.Submit());

        Says(page, $"40 g of lot {lot.Display} are handed over, due back or used by");
        Checkout row = await room.AskAsync(db => db.Checkouts.SingleAsync(Cancellation));
        Assert.Equal((room.Member, project, 40_000), (row.MemberId, row.ProjectId, row.TakenMg));

        // The same person takes a second lot: only lot and weight are asked anew.
        Says(page, ".chosen b", "Mia Member");
        page.WaitForAssertion(() => Assert.Equal("", page.Find("#grams").GetAttribute("value") ?? ""), RoomPages.Patience);
        await page.OnAsync("#lotCode", e => e.Change(next.Code));
        await page.OnAsync("#grams", e => e.Input("19"));
        await page.OnAsync("#now-whole", e => e.Change(true));
        Says(page, ".whole p", "The books have 20 g: the difference of 1 g is booked as the weighing difference, and the lot is closed.");
        await page.OnAsync("#now", e => e.Submit());
        Says(page, "The lot is closed; 1 g are booked as the weighing difference.");
    }

    [Fact]
    public async Task Refuse_WhenThingsAreMissing_SaysSoBesideEachField()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView wet = await room.LotAsync(50, null, "damp");
        Enter(room, room.Volunteer);
        IRenderedComponent<NowPage> page = Open<NowPage>("/hand-over/now");

        await page.OnAsync("#now", e => e.Submit());
        Says(page, "#lotCode-error", "Scan the label of the lot, or type its code.");
        await page.OnAsync("#lotCode", e => e.Change("K7M4"));
        page.WaitForElement("#lotCode-error", RoomPages.Patience);
        await page.OnAsync("#now", e => e.Submit());
        Says(page, "#memberId-error", "Say who takes the yarn home.");
        await page.OnAsync("#lotCode", e => e.Change(wet.Code));
        await page.OnAsync("#memberId", e => e.Input("mia"));
        await page.OnAsync("#grams", e => e.Input("10"));
        Says(page, ".chosen b", "Mia Member");
        await page.OnAsync("#now", e => e.Submit());
        Says(page, "#lotCode-error", $"Lot {wet.Display} is in quarantine. It can be reserved after an inspection has released it.");
    }

    [Fact]
    public async Task Warn_WhenTheMemberHoldsSomeOfTheLot_LeadsToThatHold()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(150);
        await room.HoldAsync(lot, 60);
        Enter(room, room.Volunteer);
        IRenderedComponent<NowPage> page = Open<NowPage>($"/hand-over/now?lot={lot.Code}");

        Says(page, "aside dd:nth-of-type(3)", "60 g");
        page.WaitForElement("#now-whole[disabled]", RoomPages.Patience);
        await page.OnAsync("#memberId", e => e.Input("otto"));
        Says(page, ".chosen b", "Otto Other");
        Assert.Empty(page.FindAll("form .note"));
        await PressAsync(page, "Somebody else");
        await page.OnAsync("#memberId", e => e.Input("mia"));

        Says(page, "Mia Member holds 60 g of this lot already.");
        string number = await room.AskAsync(db => db.HoldRequests.Select(r => r.Number).SingleAsync(Cancellation));
        Assert.Equal($"/hand-over?q={number}", page.Find("form .note a").GetAttribute("href"));
    }
}
