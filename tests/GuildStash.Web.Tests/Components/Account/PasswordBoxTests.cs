using AngleSharp.Dom;
using Bunit;
using GuildStash.Domain.Rules;
using GuildStash.Web.Components.Account;
using Xunit;

namespace GuildStash.Web.Tests.Components.Account;

/// <summary>The box for a password.</summary>
public sealed class PasswordBoxTests : ShellTest
{
    [Fact]
    public void Show_WhenRefused_SaysSoAtItsOwnInputWhichTheSwitchShows()
    {
        IRenderedComponent<PasswordBox> box = Ui.Render<PasswordBox>(p => p
            .Add(c => c.Name, "password").Add(c => c.Label, "Password").Add(c => c.Hint, "At least 10 characters.").Add(c => c.Autocomplete, "new-password")
            .Add(c => c.Refusals, [Refusal.Invalid("email", "This is no address."), Refusal.Invalid("password", "Choose a password.")]));

        IElement input = box.Find("input#password");
        Assert.Equal("Choose a password.", box.Find("#password-error").TextContent.Trim());
        Assert.Equal(("password", "new-password", "password-hint password-error", "true"), (
            input.GetAttribute("type"), input.GetAttribute("autocomplete"), input.GetAttribute("aria-describedby"), input.GetAttribute("aria-invalid")));
        Assert.False(input.HasAttribute("value"));
        Assert.Equal("password", box.Find("input[type=checkbox]").GetAttribute("data-shows"));
    }
}
