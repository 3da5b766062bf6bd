using Bunit;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Tests.Support;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Features.Setup;

/// <summary>The page of set-up, from the code on the console to the guild that is there.</summary>
public sealed class SetUpPageTests(PostgresFixture postgres) : AccountPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Open_WhenThereIsNoGuild_AsksForTheCodeAndThenSuggestsWhatIsUsualHere()
    {
        await using GuildRoom room = await GuildRoom.OpenEmptyAsync(postgres);
        UseAccounts();
        Ui.UseRoom(room);
        Read("en-US");

        IRenderedComponent<SetUpPage> page = Get<SetUpPage>("/setup");
        page.WaitForElement("form[method=get] #code", RoomPages.Patience);
        Assert.Empty(page.FindAll(".field-error, #guildName"));

        IRenderedComponent<SetUpPage> wrong = Get<SetUpPage>("/setup?code=WRONG-WRONG");
        wrong.WaitForElement("#code-error", RoomPages.Patience);
        Assert.Contains("This is not the code.", wrong.Find("#code-error").TextContent, StringComparison.Ordinal);
        Assert.Empty(wrong.FindAll("#guildName"));

        string code = (await Ui.Services.GetRequiredService<SetUpCode>().CurrentAsync(Cancellation))!;
        IRenderedComponent<SetUpPage> right = Get<SetUpPage>($"/setup?code={code}");
        right.WaitForElement("form[method=post] #guildName", RoomPages.Patience);
        Assert.Equal(code, right.Find("input[name=code]").GetAttribute("value"));
        Assert.Equal(("en-US", "Yards"), (right.Find("#culture option[selected]").GetAttribute("value"), right.Find("input[name=lengthUnit][checked]").GetAttribute("value")));
        Assert.Contains(right.Find("#timeZone").GetAttribute("value"), right.FindAll("#zones option").Select(o => o.GetAttribute("value")));

        IRenderedComponent<SetUpPage> posted = Post<SetUpPage>(
            "/setup", "set-up", ("code", code), ("guildName", ""), ("timeZone", "Mars/Olympus"), ("culture", "fr-FR"), ("lengthUnit", "Metres"), ("name", "Ada"), ("email", "ada"), ("password", ""));

        await posted.DoneAsync("form[method=post]", e => e.SubmitAsync());
        posted.WaitForElement("#guildName-error", RoomPages.Patience);
        Assert.Equal(["guildName-error", "timeZone-error", "email-error", "password-error"], posted.FindAll(".field-error").Select(e => e.Id!));
        Assert.Equal(("Mars/Olympus", "fr-FR"), (posted.Find("#timeZone").GetAttribute("value"), posted.Find("#culture option[selected]").GetAttribute("value")));
        await using Data.GuildDbContext db = room.Look();
        Assert.False(await db.Guilds.AnyAsync(Cancellation));
    }

    [Fact]
    public async Task Open_WhenTheGuildIsThere_LeadsToSignInWhateverTheCode()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        UseAccounts();
        Ui.UseRoom(room);

        IRenderedComponent<SetUpPage> page = Get<SetUpPage>("/setup?code=WRONG-WRONG");

        Says(page, "h1", "This guild is set up");
        Assert.Empty(page.FindAll("form, .field-error"));
        Assert.Equal("/account/sign-in", page.Find("a.btn").GetAttribute("href"));
    }
}
