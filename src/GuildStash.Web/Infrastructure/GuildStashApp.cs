using System.Net;
using GuildStash.Data;
using GuildStash.Web.Components;
using GuildStash.Web.Components.Layout;
using GuildStash.Web.Features;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Demo;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Features.Drives;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Output;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Planning;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Features.Relotting;
using GuildStash.Web.Features.SafeKeeping;
using GuildStash.Web.Features.Settings;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Features.Wanted;
using GuildStash.Web.Features.Words;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Server.Circuits;
using Microsoft.AspNetCore.HttpOverrides;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection.Extensions;
using MudBlazor.Services;

namespace GuildStash.Web.Infrastructure;

/// <summary>Puts the application together: services first, then the way of a request.</summary>
public static class GuildStashApp
{
    /// <summary>A builder that knows where the application's files are and where it listens.</summary>
    /// <param name="folder">The published program, with its static files and their list.</param>
    /// <param name="environment">As in ASPNETCORE_ENVIRONMENT, which says it when null.</param>
    public static WebApplicationBuilder CreateBuilder(string folder, string listenUrl, string? environment = null)
    {
        WebApplicationBuilder builder = WebApplication.CreateBuilder(new WebApplicationOptions
        {
            ApplicationName = typeof(GuildStashApp).Assembly.GetName().Name,
            ContentRootPath = folder,
            EnvironmentName = environment,
        });
        builder.WebHost.UseUrls(listenUrl);
        return builder;
    }

    /// <summary>Registers everything the pages, the API and the admin commands need.</summary>
    public static void AddGuildStash(this WebApplicationBuilder builder, AppSettings settings)
    {
        IServiceCollection services = builder.Services;
        builder.WebHost.ConfigureKestrel(kestrel => kestrel.AddServerHeader = false);
        // A job that ends is no reason to turn people away; each writes down what goes wrong and goes on with its next round.
        services.Configure<HostOptions>(options => options.BackgroundServiceExceptionBehavior = BackgroundServiceExceptionBehavior.Ignore);
        services.AddSingleton(settings);
        services.AddHttpContextAccessor();
        services.AddScoped<PublicAddress>();
        services.AddDbContextFactory<GuildDbContext>(options => options.UseGuildDatabase(settings.AppConnection));
        services.AddScoped(provider => provider.GetRequiredService<IDbContextFactory<GuildDbContext>>().CreateDbContext());
        services.AddScoped<GuildWork>();
        services.AddScoped<DonorTrail>();
        services.AddScoped<DemoGuild>();
        services.TryAddSingleton(TimeProvider.System);
        services.AddUseCases();
        services.AddAccounts();
        services.AddGuildSecurity();
        services.AddTelemetry(builder.Configuration);
        services.AddRazorComponents().AddInteractiveServerComponents(options => options.DetailedErrors = builder.Environment.IsDevelopment() || builder.Configuration.GetValue<bool>(WebHostDefaults.DetailedErrorsKey))
            .AddHubOptions(options => options.MaximumReceiveMessageSize = BoundedState.LargestMessage);
        services.AddSingleton(typeof(PersistentComponentStateSerializer<>), typeof(BoundedState<>));
        services.AddScoped<CircuitHandler, InTurn>();
        services.AddMudServices();
        services.AddTexts(builder.Environment.IsDevelopment());
        services.AddDisplay();
        services.AddScoped<IWaitingCounts, WaitingCountsReader>();
        services.AddHostedService<LapsedHoldsJob>();
        services.AddHostedService<OldDraftsJob>();
        services.AddHostedService<RecomputeJob>();
        services.AddSingleton<BackupDesk>();
        services.AddSingleton<SolverDesk>();
        services.AddSingleton<OpenDrives>();
        services.AddSingleton<OpenWanted>();
        services.AddScoped<WantedPosterData>();
        services.AddSingleton<PlanRunner>();
        services.AddSingleton<NightlyWanted>();
        services.AddHostedService<PlanJob>();
        services.AddHostedService<NightlyBackupJob>();
        services.AddHealthChecks().AddCheck<DatabaseHealth>("database");
        services.AddProblemDetails();
        services.AddGuildApi();
        services.AddRateLimiter(RateLimits.Add);
        services.Configure<ForwardedHeadersOptions>(options => TrustProxies(options, settings.Proxies));
    }

    /// <summary>The way of a request through the application.</summary>
    public static void UseGuildStash(this WebApplication app)
    {
        app.UseMiddlewares();
        app.MapPagesAndFiles();
        app.MapUseCases();
    }

    /// <summary>What every request passes before its endpoint.</summary>
    public static void UseMiddlewares(this WebApplication app)
    {
        app.UseForwardedHeaders();
        app.UseExceptionHandler("/error", createScopeForErrors: true);
        app.UseOpenPages();
        app.UseSecurityHeaders();
        app.UseStatusPages();
        app.UsePackageFiles();

        // Inside the pages for people, so that it has answered with a problem document before they see an empty response.
        app.UseGuildApiErrors();
        app.UseReadableQueries();
        app.UseSameOriginCircuits();
        app.UseAuthentication();
        app.UseRequestLocalization();
        app.UseRateLimiter();
        app.UseOpenWanted();
        app.UseSetUpGate();
        app.UseAuthorization();
        app.UseAntiforgery();
    }

    /// <summary>Endpoints that keep something of the application that maps them: circuits, files, checks, the description of the API.</summary>
    public static void MapPagesAndFiles(this WebApplication app)
    {
        // The list lies with the files, which need not be where the process began.
        app.MapStaticAssets(Path.Combine(app.Environment.ContentRootPath, $"{app.Environment.ApplicationName}.staticwebassets.endpoints.json"));
        app.MapHealth();
        app.MapApiDescription();
        app.MapRazorComponents<App>().AddInteractiveServerRenderMode(options => options.ContentSecurityFrameAncestorsPolicy = "'none'");
    }

    /// <summary>Endpoints of the use cases: methods that take all they need from the request, so that several applications of one program may share them.</summary>
    public static void MapUseCases(this IEndpointRouteBuilder app)
    {
        app.MapTheme();
        app.MapAccounts();
        app.MapGuildApi();
        app.MapPages();
        app.MapKits();
        app.MapGuidePictures();
        app.MapCsv();
        app.MapTableChange();
        app.MapFlowCsv();
        app.MapCountCsv();
        app.MapOutputCsv();
        app.MapWanted();
        app.MapSafeKeeping();
    }

    private static void TrustProxies(ForwardedHeadersOptions options, IReadOnlyList<string> proxies)
    {
        options.ForwardedHeaders = ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto | ForwardedHeaders.XForwardedHost;
        options.KnownIPNetworks.Clear();
        options.KnownProxies.Clear();
        foreach (string proxy in proxies)
        {
            if (System.Net.IPNetwork.TryParse(proxy, out System.Net.IPNetwork network))
            {
                options.KnownIPNetworks.Add(network);
            }
            else
            {
                options.KnownProxies.Add(IPAddress.Parse(proxy));
            }
        }
    }
}
