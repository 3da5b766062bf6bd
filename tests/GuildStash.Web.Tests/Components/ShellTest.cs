using System.Globalization;
using Bunit;
using Bunit.TestDoubles;
using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.AspNetCore.Components;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging.Abstractions;
using MudBlazor.Services;
using Xunit;

namespace GuildStash.Web.Tests.Components;

/// <summary>A component test with texts, display and a chosen culture; nobody is signed in until a test says so.</summary>
public abstract class ShellTest : IAsyncLifetime
{
    private readonly CultureInfo _before = CultureInfo.CurrentCulture;
    private readonly CultureInfo _uiBefore = CultureInfo.CurrentUICulture;

    /// <summary>A slow machine is no fault of a page.</summary>
    static ShellTest() => BunitContext.DefaultWaitTimeout = Support.RoomPages.Patience;

    protected ShellTest()
    {
        Read("en-GB");
        Ui.JSInterop.Mode = JSRuntimeMode.Loose;
        Ui.Services.AddMudServices();
        Ui.Services.AddTexts(withPseudoLanguage: true);
        Ui.Services.AddDisplay();
        Person = Ui.AddAuthorization();
    }

    protected BunitContext Ui { get; } = new();

    protected BunitAuthorizationContext Person { get; }

    protected PersonDisplay Display => Ui.Services.GetRequiredService<PersonDisplay>();

    protected NavigationManager Navigation => Ui.Services.GetRequiredService<NavigationManager>();

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        await Ui.DisposeAsync();
        (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture) = (_before, _uiBefore);
        GC.SuppressFinalize(this);
    }

    /// <summary>Numbers and texts in a culture, from here to the end of the test.</summary>
    protected static void Read(string culture) =>
        (CultureInfo.CurrentCulture, CultureInfo.CurrentUICulture) = (new CultureInfo(culture), new CultureInfo(culture));

    protected void Use(LengthUnit unit) => Display.Use(new DisplayChoices(CultureInfo.CurrentCulture, unit, Theme.System));
}
