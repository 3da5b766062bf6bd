using System.Security.Claims;
using AngleSharp.Dom;
using Bunit;
using Bunit.TestDoubles;
using GuildStash.Data;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Infrastructure.Security;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Components;
using Microsoft.EntityFrameworkCore;
using Microsoft.Extensions.DependencyInjection;

namespace GuildStash.Web.Tests.Support;

/// <summary>Lets component tests render whole pages, whose use cases then run on a room's database.</summary>
internal static class RoomPages
{
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    public static void UseRoom(this BunitContext ui, GuildRoom room)
    {
        ui.Services.AddDbContextFactory<GuildDbContext>(options => options.UseGuildDatabase(room.AppConnectionString));
        ui.Services.AddSingleton(TimeProvider.System);
        ui.Services.AddScoped<IdempotencySlot>();
        ui.Services.AddScoped<GuildWork>();
        ui.Services.AddScoped<SignedIn>();
        ui.Services.AddHttpContextAccessor();
        ui.Services.AddScoped<DonorTrail>();
        foreach (Type useCase in typeof(GiftReader).Assembly.GetTypes().Where(t =>
            t is { IsClass: true, IsAbstract: false, IsPublic: true } && t.GetConstructors() is [{ } only] && only.GetParameters() is [{ } work, .. { } more] && work.ParameterType == typeof(GuildWork)
            && more.All(p => p.ParameterType == typeof(DonorTrail))))
        {
            ui.Services.AddScoped(useCase);
        }
    }

    /// <summary>Waits for an element and acts on it before the page can render again.</summary>
    public static async Task OnAsync<T>(this IRenderedComponent<T> page, string selector, Action<IElement> act)
        where T : IComponent
    {
        page.WaitForElement(selector, Patience);
        await page.InvokeAsync(() => act(page.Find(selector)));
    }

    /// <summary>Waits for an element, acts on it, and waits until the page is done with what that began: a page may show what was typed before it is kept.</summary>
    public static async Task DoneAsync<T>(this IRenderedComponent<T> page, string selector, Func<IElement, Task> act)
        where T : IComponent
    {
        page.WaitForElement(selector, Patience);
        await page.InvokeAsync(() => act(page.Find(selector)));
    }

    /// <summary>Presses the button with exactly this text, as soon as it can be pressed.</summary>
    public static async Task PressAsync<T>(this IRenderedComponent<T> page, string text)
        where T : IComponent
    {
        page.WaitForAssertion(() => Xunit.Assert.Contains(page.FindAll("button:not([disabled])"), b => b.TextContent.Trim() == text), Patience);
        await page.InvokeAsync(() => page.FindAll("button:not([disabled])").First(b => b.TextContent.Trim() == text).Click());
    }

    public static void SignIn(this BunitAuthorizationContext person, Guid id, string role = "volunteer") =>
        person.SetAuthorized("somebody@example.org").SetRoles(role).SetClaims(new Claim(ClaimTypes.NameIdentifier, id.ToString()));
}
