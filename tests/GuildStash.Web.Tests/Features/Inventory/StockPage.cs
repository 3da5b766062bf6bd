using Bunit;
using GuildStash.Domain.People;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Inventory;

/// <summary>The inventory page over a room, for tests that are about something else too.</summary>
internal sealed class StockPage : ShellTest
{
    public IRenderedComponent<InventoryPage> Open(GuildRoom room, Guid person, LengthUnit unit, string address)
    {
        Ui.UseRoom(room);
        Person.SignIn(person, "member");
        Use(unit);
        Navigation.NavigateTo(address);
        IRenderedComponent<InventoryPage> page = Ui.Render<InventoryPage>();
        page.WaitForAssertion(() => Assert.NotEmpty(page.FindAll(".stock-sentence")), RoomPages.Patience);
        return page;
    }

    /// <summary>The figures of a sentence, without their unit: low, likely, high.</summary>
    public static double[] Figures(string sentence) =>
        [.. System.Text.RegularExpressions.Regex.Match(sentence, @"at least ([\d,.]+) (?:yd|m|km), probably ([\d,.]+) (?:yd|m|km), at most ([\d,.]+) (?:yd|m|km)").Groups.Values.Skip(1)
            .Select(figure => double.Parse(figure.Value, System.Globalization.NumberStyles.Number, System.Globalization.CultureInfo.InvariantCulture))];
}
