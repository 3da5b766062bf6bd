using Bunit;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Relotting;

/// <summary>The page that tells what became of a gift.</summary>
public sealed class GiftHistoryPageTests(PostgresFixture postgres) : DeskPages
{
    [Fact]
    public async Task Show_WhenAnotherGiftIsOpened_TellsThatOne()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        LoggedGift first = await GiftAsync(room, 2000);
        LoggedGift second = await GiftAsync(room, 500);
        await room.Guild.LotAsync(second.Bags[0].Id, 100);
        Enter(room, room.Volunteer);
        IRenderedComponent<GiftHistoryPage> page = Open<GiftHistoryPage>($"/intake/{first.Id}/history", p => p.Add(c => c.DonationId, first.Id));
        Says(page, "h1", $"What became of gift {first.Number}");
        page.WaitForElement(".flow-steps tbody tr", RoomPages.Patience);
        int steps = page.FindAll(".flow-steps tbody tr").Count;

        page.Render(p => p.Add(c => c.DonationId, second.Id));

        Says(page, "h1", $"What became of gift {second.Number}");
        Assert.Equal([$"/csv/gift-history/{second.Id}.csv", $"/intake/{second.Id}"], page.FindAll(".head .actions a").Select(a => a.GetAttribute("href")));
        page.WaitForAssertion(() => Assert.True(page.FindAll(".flow-steps tbody tr").Count > steps), RoomPages.Patience);

        page.Render(p => p.Add(c => c.DonationId, Guid.CreateVersion7()));
        Says(page, "There is no such donation.");
        Assert.Equal("What became of gift", Words(page.FindAll("h1")));
        Assert.Empty(page.FindAll(".flow-steps, .actions a"));
    }

    private static Task<LoggedGift> GiftAsync(DeskRoom room, decimal grams) => room.Guild.DoAsync<LogGift, LoggedGift>(
        u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(grams, 0, [])] }, GuildRoom.Cancellation));
}
