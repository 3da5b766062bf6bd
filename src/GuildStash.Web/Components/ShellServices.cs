using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using MudBlazor;
using MudBlazor.Services;

namespace GuildStash.Web.Components;

/// <summary>Everything that the pages need around them, except who is signed in.</summary>
public static class ShellServices
{
    /// <summary>Interactive pages, component library, texts and display.</summary>
    /// <param name="services">The host's services.</param>
    /// <param name="withPseudoLanguage">Whether the pseudo-language may be asked for; for development and tests.</param>
    public static IServiceCollection AddShell(this IServiceCollection services, bool withPseudoLanguage)
    {
        services.AddRazorComponents().AddInteractiveServerComponents();
        services.AddCascadingAuthenticationState();
        services.AddMudServices(options =>
        {
            options.SnackbarConfiguration.PositionClass = Defaults.Classes.Position.BottomCenter;
            options.SnackbarConfiguration.VisibleStateDuration = 8000;
            options.SnackbarConfiguration.MaxDisplayedSnackbars = 3;
            options.SnackbarConfiguration.PreventDuplicates = false;
            options.SnackbarConfiguration.HideTransitionDuration = 150;
            options.SnackbarConfiguration.ShowTransitionDuration = 150;
        });
        return services.AddTexts(withPseudoLanguage).AddDisplay();
    }

    /// <summary>Static files, theme and pages. Authentication, localisation and antiforgery must stand before it.</summary>
    public static RazorComponentsEndpointConventionBuilder MapShell(this IEndpointRouteBuilder endpoints)
    {
        endpoints.MapStaticAssets().AllowAnonymous();
        endpoints.MapTheme();
        return endpoints.MapRazorComponents<App>().AddInteractiveServerRenderMode();
    }
}
