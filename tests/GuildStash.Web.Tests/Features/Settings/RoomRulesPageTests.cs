using Bunit;
using GuildStash.Domain.Quarantine;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.Settings;

/// <summary>The page of the room's rules, on a real database.</summary>
public sealed class RoomRulesPageTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Save_WhenFiguresAreOutOfRange_SaysSoBesideThemAndKeepsTheRules()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        IRenderedComponent<RoomRulesPage> page = Open<RoomRulesPage>("/settings/room-rules");
        page.WaitForElement("form", RoomPages.Patience);

        // What the box itself knows to be wrong is never sent.
        await page.OnAsync("#freezerMaxCelsius", e => e.Input("-5"));
        await page.OnAsync("#freezerSource", e => e.Change(""));
        await page.OnAsync("form", e => e.Submit());
        Says(page, "Nothing was saved: one of the numbers can't be taken.");
        Assert.Empty(page.FindAll("#freezerSource-error"));

        await page.OnAsync("#freezerMaxCelsius", e => e.Input("-25"));
        await page.OnAsync("#countMoisturePerMille", e => e.Input(""));
        await page.OnAsync("#freezerDays", e => e.Input(""));
        await page.OnAsync("form", e => e.Submit());
        page.WaitForElement("#freezerSource-error", RoomPages.Patience);
        page.WaitForElement("#freezerDays-error", RoomPages.Patience);
        Assert.DoesNotContain("The rules hold from now on", page.Markup, StringComparison.Ordinal);
        Assert.Equal(QuarantineProtocol.Usual, await room.AskAsync(async db => (await db.Guilds.AsNoTracking().SingleAsync(Cancellation)).Protocol));
    }

    [Fact]
    public async Task Save_WhenRight_HoldsFromNowOnAndAnotherPagesOldFormIsRefused()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        IRenderedComponent<RoomRulesPage> page = Open<RoomRulesPage>("/settings/room-rules");
        IRenderedComponent<RoomRulesPage> old = Open<RoomRulesPage>("/settings/room-rules");
        page.WaitForElement("form", RoomPages.Patience);
        old.WaitForElement("form", RoomPages.Patience);

        await page.OnAsync("#freezerMaxCelsius", e => e.Input("-29.96"));
        await page.OnAsync("#delayedReviewHours", e => e.Input("24"));
        await page.InvokeAsync(() => page.Find("input[type=checkbox]").Change(true));
        await page.OnAsync("form", e => e.Submit());
        Says(page, "Saved. The rules hold from now on");
        await old.OnAsync("form", e => e.Submit());
        Says(old, "Somebody else changed the settings meanwhile.");

        var guild = await room.AskAsync(db => db.Guilds.AsNoTracking().SingleAsync(Cancellation));
        Assert.Equal((-30m, 24, true), (guild.FreezerMaxCelsius, guild.DelayedReviewHours, guild.DelayedReviewIsOn));
        page.WaitForAssertion(() => Assert.Equal("-30", page.Find("#freezerMaxCelsius").GetAttribute("value")), RoomPages.Patience);
    }

    [Fact]
    public async Task Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Coordinator);
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<RoomRulesPage> page = Open<RoomRulesPage>("/settings/room-rules");
        page.WaitForElement("form", RoomPages.Patience);

        Assert.Empty(UntranslatedText.Find(page.Markup));
    }
}
