using System.Reflection;
using GuildStash.Data;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Components;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Architecture.Tests;

public sealed class WebRuleTests
{
    private static readonly Assembly Web = typeof(AppSettings).Assembly;

    private static List<Type> Pages => [.. Web.GetTypes().Where(t => t.GetCustomAttributes<RouteAttribute>().Any())];

    private static List<Type> Components => [.. Web.GetTypes().Where(t => typeof(IComponent).IsAssignableFrom(t) && !t.IsAbstract)];

    private static List<Type> UseCases => [.. Web.GetTypes().Where(t => t is { IsClass: true, IsNested: false, IsPublic: true }
        && t.Namespace?.StartsWith("GuildStash.Web.Features.", StringComparison.Ordinal) == true
        && t.GetConstructors() is [{ } constructor] && constructor.GetParameters().Any(p => p.ParameterType == typeof(GuildWork)))];

    [Fact]
    public void Pages_SayWhoMayOpenThem()
    {
        Assert.True(Pages.Count > 10, $"Only {Pages.Count} pages were found.");
        Assert.Empty(Pages.Select(WebRules.PageSaysWhoMayOpenIt).OfType<string>());
        Assert.NotNull(WebRules.PageSaysWhoMayOpenIt(typeof(PageForNobodySaidWhom)));
    }

    [Fact]
    public void Components_LeaveTheDatabaseAlone()
    {
        Assert.True(Components.Count > 30, $"Only {Components.Count} components were found.");
        Assert.Empty(Components.Select(WebRules.ComponentLeavesTheDatabaseAlone).OfType<string>());
        Assert.NotNull(WebRules.ComponentLeavesTheDatabaseAlone(typeof(ComponentWithContext)));
        Assert.NotNull(WebRules.ComponentLeavesTheDatabaseAlone(typeof(ComponentWithFactory)));
    }

    [Fact]
    public void UseCases_StartWithThePerson()
    {
        Assert.True(UseCases.Count > 20, $"Only {UseCases.Count} use cases were found.");
        Assert.Empty(UseCases.Select(WebRules.UseCaseStartsWithThePerson).OfType<string>());
        Assert.NotNull(WebRules.UseCaseStartsWithThePerson(typeof(UseCaseForAnybody)));
    }

    [Fact]
    public void UseCases_AreSealed() => Assert.All(UseCases, type => Assert.True(type.IsSealed, type.FullName));

    [Fact]
    public void Entities_HaveOneConfigurationEach()
    {
        using GuildDbContext db = GuildDatabase.Open("Host=localhost;Database=nowhere");
        List<Type> entities = [.. db.Model.GetEntityTypes().Select(e => e.ClrType).Where(t => t.Namespace?.StartsWith("GuildStash.Data", StringComparison.Ordinal) == true)];
        List<Type> configured = [.. typeof(GuildDbContext).Assembly.GetTypes()
            .SelectMany(t => t.GetInterfaces())
            .Where(i => i.IsGenericType && i.GetGenericTypeDefinition() == typeof(IEntityTypeConfiguration<>))
            .Select(i => i.GetGenericArguments()[0])];
        Assert.True(entities.Count > 15, $"Only {entities.Count} entities were found.");
        Assert.Equal(entities.Select(t => t.Name).Order(), configured.Select(t => t.Name).Order());
    }

    [Route("/nobody")]
    private sealed class PageForNobodySaidWhom : ComponentBase;

    [AllowAnonymous]
    private sealed class ComponentWithContext : ComponentBase
    {
        [Inject]
        private GuildDbContext Db { get; set; } = null!;
    }

    private sealed class ComponentWithFactory : ComponentBase
    {
        [Inject]
        private IDbContextFactory<GuildDbContext> Contexts { get; set; } = null!;
    }

    private sealed class UseCaseForAnybody
    {
        public Task RunAsync(string what, CancellationToken cancellation) => Task.FromCanceled(cancellation);
    }
}
