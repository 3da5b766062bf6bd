using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.People;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Settings;

public sealed class MeasuringPageTests(PostgresFixture postgres) : ShellTest
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    /// <summary>A lot is a point; the words say on how many lots it rests, and every part of the page saves by itself.</summary>
    [Fact]
    public async Task Show_WhenLotsTeach_DrawsThemSaysWhatTheyTaughtAndSavesEachPart()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Ui.UseRoom(room);
        Person.SignIn(room.Coordinator, "coordinator");
        Use(LengthUnit.Yards);
        Guid bag = (await room.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(room.Volunteer, new GiftInput { Bags = [new BagInput(900, 50, [])] }, Cancellation))).Bags[0].Id;
        for (int i = 0; i < 3; i++)
        {
            await room.DoAsync<AddLot, LotView>(u => u.RunAsync(room.Volunteer, bag, new LotInput { Grams = 50, Wraps = new WrapsInput(13, 1, []), Band = new BandInput(180, 100), Fibres = [new FibreInput("CO", 100)] }, Cancellation));
        }

        IRenderedComponent<MeasuringPage> page = Ui.Render<MeasuringPage>();
        page.WaitForAssertion(() => Assert.Equal(3, page.FindAll("circle.lot").Count), RoomPages.Patience);
        Assert.Equal("Cotton, linen, viscose and their like (3)", page.Find("button[aria-pressed=true]").TextContent.Trim());
        string words = page.Find(".learnt-words").TextContent;
        Assert.Contains("It rests on 3 lots.", words, StringComparison.Ordinal);
        Assert.Contains("shorter than the table says, give or take", words, StringComparison.Ordinal);

        await page.OnAsync("#useLearnt", box => box.Change(true));
        await page.OnAsync("#learning", form => form.Submit());
        page.WaitForAssertion(() => Assert.Contains("3", page.Find("[role=status]").TextContent, StringComparison.Ordinal), RoomPages.Patience);

        await page.OnAsync("#moisture", form => form.QuerySelector("#animal")!.Input("50"));
        await page.OnAsync("#moisture", form => form.Submit());
        page.WaitForAssertion(() => Assert.Contains("0 to 40 % is allowed", Spaces.Plain(page.Find("#animal-error").TextContent), StringComparison.Ordinal), RoomPages.Patience);

        string before = Spaces.Plain(page.Find("#totals-preview").TextContent);
        Assert.StartsWith("20 lots of 100 g each, known as DK by name alone, then come to at least 4,", before, StringComparison.Ordinal);
        Assert.DoesNotContain("at least 4,000 yd", before, StringComparison.Ordinal);
        await page.OnAsync("#sharedPart", box => box.Input("1"));
        Assert.Contains("at least 4,000 yd, ", Spaces.Plain(page.Find("#totals-preview").TextContent), StringComparison.Ordinal);
        await page.OnAsync("#scaleErrorPercent", box => box.Input("20"));
        await page.OnAsync("#totals", form => form.Submit());
        page.WaitForAssertion(() => Assert.Contains("0 to 10 % is allowed", Spaces.Plain(page.Find("#scaleErrorPercent-error").TextContent), StringComparison.Ordinal), RoomPages.Patience);

        await page.PressAsync("Add a rule");
        await page.OnAsync("#strands", form => form.Submit());
        page.WaitForAssertion(() => Assert.Contains("keep one", page.Find("#strands [role=alert]").TextContent, StringComparison.Ordinal), RoomPages.Patience);

        await page.PressAsync("Forget what was learnt so far");
        page.WaitForAssertion(() => Assert.Empty(page.FindAll("circle.lot")), RoomPages.Patience);
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<MeasuringPage> pseudo = Ui.Render<MeasuringPage>();
        pseudo.WaitForElement("#moisture", RoomPages.Patience);
        Assert.Empty(UntranslatedText.Find(pseudo.Markup));
    }
}
