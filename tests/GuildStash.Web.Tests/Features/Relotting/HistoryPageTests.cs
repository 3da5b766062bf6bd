using Bunit;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Relotting;

/// <summary>The pages of splits, merges and histories.</summary>
public sealed class HistoryPageTests(PostgresFixture postgres) : DeskPages
{
    [Fact]
    public async Task Show_AfterSplitAndMerge_DrawsTheStrandsAndSortsTheSteps()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView lot = await room.LotAsync(200);
        LotView part = await room.SplitAsync(lot, 50);
        LotView other = await room.LotAsync(75);
        await room.MergeAsync(other, [part]);
        await room.TakenHomeAsync(lot, 30);
        Enter(room, room.Volunteer);

        IRenderedComponent<LotHistoryPage> page = Open<LotHistoryPage>($"/inventory/{lot.Code}/history", p => p.Add(c => c.Code, lot.Code));

        Says(page, "figcaption", "275 g came in: 245 g are in the room, 30 g at members' homes.");
        Assert.Equal(page.FindAll(".strands path").Count, page.FindAll(".strands path title").Count);
        Assert.Equal(page.FindAll(".strands rect.bar").Count, page.FindAll(".strands li").Count);
        Assert.All(page.FindAll(".strands path"), path => Assert.Equal("#4f6d8f", path.GetAttribute("fill")));
        Assert.Contains(page.FindAll(".strands li"), li => Words([li]) == $"Lot {other.Display} after a merge 125 g");
        await page.InvokeAsync(() => page.FindAll("th button")[4].Click());
        string first = page.Find("tbody tr .n").TextContent;
        await page.InvokeAsync(() => page.FindAll("th button")[4].Click());
        Assert.Equal(("30 g", "200 g", "descending"), (Spaces.Plain(first), Words(page.FindAll("tbody tr .n").Take(1)), page.FindAll("th")[4].GetAttribute("aria-sort")));
        Assert.Equal($"/csv/lot-history/{lot.Code}.csv", page.Find("a[download]").GetAttribute("href"));
        Read(PseudoLanguage.CultureName);
        Assert.Empty(UntranslatedText.Find(Ui.Render<FlowHistory>(p => p.Add(c => c.View, page.FindComponent<FlowHistory>().Instance.View)).Markup));
    }

    [Fact]
    public async Task Scan_OfAnOldLabel_ShowsTheLotThatIsLeftAndSaysSo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        (LotView gone, LotView left) = (await room.LotAsync(100), await room.LotAsync(100));
        await room.MergeAsync(left, [gone]);
        Enter(room, room.Volunteer);

        IRenderedComponent<LotPage> page = Open<LotPage>($"/inventory/{gone.Code}", p => p.Add(c => c.Code, gone.Code));

        Says(page, $"Lot {gone.Display} went into this lot on");
        Assert.Equal($"Lot {left.Display}", Words(page.FindAll("h1")));
        Navigation.NavigateTo($"/inventory/{gone.Code}?own=1");
        Says(page, "Nothing of it is left: it went into another lot.");
        Assert.Equal($"Lot {gone.Display}", Words(page.FindAll("h1")));
    }

    [Fact]
    public async Task Ask_WhenLotsDiffer_WaitsUntilEachLineIsAgreedTo()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LotView left = await room.LotAsync(100);
        LotView other = await room.LotAsync(100, l => l with { DyeLot = "A12" });
        Enter(room, room.Volunteer);
        IRenderedComponent<MergePage> page = Open<MergePage>($"/inventory/{left.Code}/merge", p => p.Add(c => c.Code, left.Code));

        await page.InvokeAsync(() => page.Find("#merge-codes").Change(other.Display));
        await page.InvokeAsync(() => page.Find("#merge-look").Submit());
        Says(page, "Their dye lots differ (—, A12).");
        await page.InvokeAsync(() => page.Find("#merge-reason").Change("Same yarn"));
        await page.InvokeAsync(() => page.Find("#merge-ask").Submit());
        page.WaitForAssertion(() => Assert.Contains("Their dye lots differ", Words(page.FindAll("#merge-ask [role=alert], #merge-ask .note, #merge-ask .refusals")), StringComparison.Ordinal), RoomPages.Patience);
        await page.InvokeAsync(() => page.Find("#merge-ask input[type=checkbox]").Change(true));
        await page.InvokeAsync(() => page.Find("#merge-ask").Submit());

        Says(page, "waits for a second person. Leave the yarn where it is.");
        Assert.True((await room.LookAsync(left)).AwaitsSecondPerson);
    }
}
