using Bunit;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.People;

/// <summary>The page of one's own API tokens.</summary>
public sealed class TokensPageTests(OneDesk desk) : DeskPages, IClassFixture<OneDesk>
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Issue_WhenFilledIn_ShowsTheTokenOnceAndItCanBeRevoked()
    {
        Enter(desk.Room, desk.Room.Member);
        IRenderedComponent<TokensPage> page = Open<TokensPage>("/account/tokens");
        Says(page, "You have none.");

        await page.OnAsync("#days", e => e.Input("1.5"));
        await page.OnAsync("#new-token", e => e.Submit());
        Says(page, "#name-error", "This is needed. Fill it in.");
        Says(page, "#days-error", "A token lasts 1 to 730 whole days; 1.5 were asked for.");
        await page.OnAsync("#name", e => e.Change("Shelf scale"));
        await page.OnAsync("#days", e => e.Input("30"));
        await page.OnAsync("#new-token", e => e.Submit());

        Says(page, "It reads and changes nothing. It is shown only now");
        string secret = page.Find("#token").GetAttribute("value")!;
        Says(page, "tbody td:not(.change)", Row(await OnlyAsync("Shelf scale"), "active", "reads only"));
        Assert.Equal(BearerTokens.HashOf(secret), (await OnlyAsync("Shelf scale")).SecretHash);
        await PressAsync(page, "Done");
        page.WaitForElement("#new-token", RoomPages.Patience);
        Assert.DoesNotContain(secret, page.Markup, StringComparison.Ordinal);

        await page.OnAsync("button[aria-label='Revoke Shelf scale']", e => e.Click());
        Says(page, "p[role=status]", "The token Shelf scale is revoked; programs that use it are refused from now on.");
        Says(page, "tbody .status", "revoked");
        Assert.Empty(page.FindAll("tbody button"));
        Assert.NotNull((await OnlyAsync("Shelf scale")).RevokedAt);
    }

    [Theory]
    [InlineData(true, "p.good", "Copied. Paste it where the program asks for it.", 0)]
    [InlineData(false, "p.field-error", "The browser does not let this page copy. The token is marked: copy it with the keyboard.", 1)]
    public async Task Copy_WhenTheBrowserLetsItOrNot_SaysSoAndMarksWhatIsLeftToCopy(bool lets, string selector, string said, int marked)
    {
        Enter(desk.Room, desk.Room.Volunteer);
        Ui.JSInterop.Setup<bool>("guildStash.copy", _ => true).SetResult(lets);
        IRenderedComponent<TokensPage> page = Open<TokensPage>("/account/tokens");
        await page.OnAsync("#name", e => e.Change("Label maker"));
        await page.OnAsync("#scope", e => e.Change(nameof(TokenScope.Write)));
        await page.OnAsync("#new-token", e => e.Submit());

        await PressAsync(page, "Copy the token");

        Says(page, selector, said);
        Assert.Equal(page.Find("#token").GetAttribute("value"), Ui.JSInterop.Invocations["guildStash.copy"].Single().Arguments.Single());
        Assert.Equal(marked, Ui.JSInterop.Invocations["guildStash.focusId"].Count);
        Assert.DoesNotContain("It reads and changes nothing.", page.Markup, StringComparison.Ordinal);
        Says(page, "reads and writes");
    }

    private string Row(ApiToken token, string state, string scope) =>
        $"{state} {scope} {Display.Date(token.CreatedAt)} {Display.Date(token.ExpiresAt)} never";

    private Task<ApiToken> OnlyAsync(string name) => desk.Room.AskAsync(db => db.ApiTokens.AsNoTracking().SingleAsync(t => t.Name == name, Cancellation));
}
