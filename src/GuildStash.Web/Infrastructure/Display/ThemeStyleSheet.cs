using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Web;
using MudBlazor;

namespace GuildStash.Web.Infrastructure.Display;

/// <summary>
/// The tokens as one style sheet: our variables and those of the component library, light and dark. Being plain CSS, the theme
/// is right before the first paint and without scripts, and needs no inline style element.
/// </summary>
public sealed class ThemeStyleSheet(IServiceProvider services, ILoggerFactory loggers)
{
    private readonly Lazy<Task<(string Css, string Version)>> _sheet = new(() => BuildAsync(services, loggers));

    public async Task<string> CssAsync() => (await _sheet.Value).Css;

    /// <summary>Address with the content's hash, so that it may be cached for good.</summary>
    public async Task<string> HrefAsync() => $"theme.css?v={(await _sheet.Value).Version}";

    private static async Task<(string Css, string Version)> BuildAsync(IServiceProvider services, ILoggerFactory loggers)
    {
        string light = ThemeTokens.Light.ToCss() + await ComponentVariablesAsync(services, loggers, dark: false);
        string dark = ThemeTokens.Dark.ToCss() + await ComponentVariablesAsync(services, loggers, dark: true);
        StringBuilder css = new();
        css.Append(":root {\n");
        foreach ((string name, string value) in ThemeTokens.Sizes)
        {
            css.Append(CultureInfo.InvariantCulture, $"  --{name}: {value};\n");
        }

        css.Append(CultureInfo.InvariantCulture, $"  color-scheme: light;\n{light}}}\n");
        css.Append(CultureInfo.InvariantCulture, $":root[data-theme=dark] {{\n  color-scheme: dark;\n{dark}}}\n");
        css.Append("@media screen and (prefers-color-scheme: dark) {\n");
        css.Append(CultureInfo.InvariantCulture, $":root:not([data-theme]) {{\n  color-scheme: dark;\n{dark}}}\n}}\n");
        css.Append(CultureInfo.InvariantCulture, $"@media print {{\n:root[data-theme] {{\n  color-scheme: light;\n{light}}}\n}}\n");
        string text = css.ToString();
        return (text, Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)))[..12]);
    }

    /// <summary>The library derives some two hundred variables from a palette; its own provider is asked for them.</summary>
    private static async Task<string> ComponentVariablesAsync(IServiceProvider services, ILoggerFactory loggers, bool dark)
    {
        await using AsyncServiceScope scope = services.CreateAsyncScope();
        await using HtmlRenderer renderer = new(scope.ServiceProvider, loggers);
        ParameterView parameters = ParameterView.FromDictionary(new Dictionary<string, object?>
        {
            [nameof(MudThemeProvider.Theme)] = ThemeTokens.ForComponents(),
            [nameof(MudThemeProvider.IsDarkMode)] = dark,
            [nameof(MudThemeProvider.ObserveSystemDarkModeChange)] = false,
            [nameof(MudThemeProvider.DefaultScrollbar)] = true,
        });
        string html = await renderer.Dispatcher.InvokeAsync(
            async () => (await renderer.RenderComponentAsync<MudThemeProvider>(parameters)).ToHtmlString());
        int root = html.IndexOf(":root", StringComparison.Ordinal);
        int start = html.IndexOf('{', root) + 1;
        return html[start..html.IndexOf('}', start)].Trim() + "\n";
    }
}

/// <summary>Registration and address of the theme.</summary>
public static class ThemeServices
{
    private const string Address = "/theme.css";

    /// <summary>Long enough to read two sentences while turning from the scale to the screen.</summary>
    private static readonly TimeSpan NoticeTime = TimeSpan.FromSeconds(8);

    /// <summary>Theme, display and the place of notices; to be called after the component library is added.</summary>
    public static IServiceCollection AddDisplay(this IServiceCollection services)
    {
        services.Configure<SnackbarConfiguration>(options =>
        {
            options.PositionClass = Defaults.Classes.Position.BottomCenter;
            options.VisibleStateDuration = (int)NoticeTime.TotalMilliseconds;
            options.MaxDisplayedSnackbars = 3;
        });
        services.AddSingleton<ThemeStyleSheet>();
        services.AddSingleton<GuildDefaults>();
        services.AddSingleton<GuildYardage>();
        services.AddHostedService<GuildDefaultsJob>();
        services.AddScoped<PersonDisplay>();
        return services;
    }

    public static void MapTheme(this IEndpointRouteBuilder endpoints) =>
        endpoints.MapGet(Address, async (HttpContext context, ThemeStyleSheet sheet) =>
        {
            context.Response.Headers.CacheControl = "public, max-age=31536000, immutable";
            return Results.Text(await sheet.CssAsync(), "text/css", Encoding.UTF8);
        }).AllowAnonymous().ExcludeFromDescription();
}
