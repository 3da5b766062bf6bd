using GuildStash.Web.Components;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using MudBlazor.Services;

var builder = WebApplication.CreateBuilder(args);
builder.Services.AddRazorComponents().AddInteractiveServerComponents();
builder.Services.AddMudServices();
builder.Services.AddCascadingAuthenticationState();
builder.Services.AddAuthentication("Trial").AddCookie("Trial", options => options.LoginPath = "/account/sign-in");
builder.Services.AddAuthorization();
builder.Services.AddTexts(builder.Environment.IsDevelopment());
builder.Services.AddDisplay();
builder.Services.AddScoped<GuildStash.Web.Components.Layout.IWaitingCounts, TrialCounts>();
var app = builder.Build();
app.Use((c, next) => { c.Response.Headers.ContentSecurityPolicy = "default-src 'self'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; connect-src 'self'; frame-ancestors 'none'; base-uri 'self'; form-action 'self'"; return next(); });
app.UseStatusCodePagesWithReExecute("/not-found");
app.UseAuthentication();
app.UseRequestLocalization();
app.UseAuthorization();
app.UseAntiforgery();
app.MapStaticAssets();
app.MapTheme();
app.MapRazorComponents<App>().AddInteractiveServerRenderMode();
app.MapGet("/trial", async (HttpContext c, string role, string? culture, string? unit, string? theme) =>
{
    var i = new System.Security.Claims.ClaimsIdentity([new("display_name", "Ada Example"), new(System.Security.Claims.ClaimTypes.Role, role), new(DisplayClaims.Culture, culture ?? ""), new(DisplayClaims.LengthUnit, unit ?? "Yards"), new(DisplayClaims.Theme, theme ?? "System")], "Trial");
    await Microsoft.AspNetCore.Authentication.AuthenticationHttpContextExtensions.SignInAsync(c, new System.Security.Claims.ClaimsPrincipal(i));
    return Results.Redirect("/gallery");
});
app.MapGet("/health/live", () => "ok");
app.Run();

internal sealed class TrialCounts : GuildStash.Web.Components.Layout.IWaitingCounts
{
    public Task<GuildStash.Web.Components.Layout.WaitingCounts> ReadAsync(CancellationToken cancellationToken) =>
        Task.FromResult(new GuildStash.Web.Components.Layout.WaitingCounts(3, 2, null, 6, 4, 1));
}
