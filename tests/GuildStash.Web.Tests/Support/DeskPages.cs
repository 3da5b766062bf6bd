using AngleSharp.Dom;
using Bunit;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Tests.Components;
using Microsoft.AspNetCore.Components;
using Microsoft.Extensions.DependencyInjection;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>Pages of the desk on a real database, by whoever the test says.</summary>
public abstract class DeskPages : ShellTest
{
    /// <summary>Signs somebody in and lets pages work on the room's database.</summary>
    protected void Enter(DeskRoom room, Guid person)
    {
        Ui.Services.AddSingleton(TimeProvider.System);
        Ui.UseRoom(room.Guild);
        string role = person == room.Coordinator ? "coordinator" : person == room.Volunteer ? "volunteer" : "member";
        Person.SignIn(person, role);
        Person.SetPolicies(role switch
        {
            "coordinator" => [Policies.Volunteer, Policies.Coordinator],
            "volunteer" => [Policies.Volunteer],
            _ => [],
        });
        Use(Domain.People.LengthUnit.Yards);
    }

    protected IRenderedComponent<T> Open<T>(string address, Action<ComponentParameterCollectionBuilder<T>>? with = null)
        where T : IComponent
    {
        Navigation.NavigateTo(address);
        return Ui.Render<T>(with ?? (_ => { }));
    }

    /// <summary>Waits until the page says something, wherever.</summary>
    protected static void Says<T>(IRenderedComponent<T> page, string words)
        where T : IComponent =>
        page.WaitForAssertion(() => Assert.Contains(Spaces.Plain(words), Words(page.Nodes), StringComparison.Ordinal), RoomPages.Patience);

    /// <summary>Waits until an element says exactly this, blanks aside.</summary>
    protected static void Says<T>(IRenderedComponent<T> page, string selector, string words)
        where T : IComponent =>
        page.WaitForAssertion(() => Assert.Equal(Spaces.Plain(words), Words(page.FindAll(selector))), RoomPages.Patience);

    /// <summary>Presses the button whose whole name, hidden words included, is this, as soon as it can be pressed.</summary>
    protected static async Task PressAsync<T>(IRenderedComponent<T> page, string name)
        where T : IComponent
    {
        page.WaitForAssertion(() => Assert.Contains(page.FindAll("button:not([disabled])"), b => Words([b]) == name), RoomPages.Patience);
        await page.InvokeAsync(() => page.FindAll("button:not([disabled])").First(b => Words([b]) == name).Click());
    }

    protected static string Words(IEnumerable<INode> nodes) =>
        string.Join(' ', string.Join(' ', nodes.Select(n => n.TextContent)).Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
}
