using System.Reflection;
using GuildStash.Data;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Components;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Architecture.Tests;

/// <summary>The rules of pages and use cases, each as a question about one type; null when the type keeps it.</summary>
internal static class WebRules
{
    /// <summary>A page says who may open it: signed-in people, some role, or everybody.</summary>
    public static string? PageSaysWhoMayOpenIt(Type page) =>
        page.GetCustomAttributes(inherit: true).Any(a => a is IAuthorizeData or IAllowAnonymous)
            ? null
            : $"{page.FullName} has neither [Authorize] nor [AllowAnonymous].";

    /// <summary>A component asks use cases and never the database.</summary>
    public static string? ComponentLeavesTheDatabaseAlone(Type component)
    {
        Type? barred = component.GetProperties(BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic)
            .Where(p => p.GetCustomAttribute<InjectAttribute>() is not null)
            .Select(p => p.PropertyType)
            .FirstOrDefault(t => typeof(DbContext).IsAssignableFrom(t) || t == typeof(IDbContextFactory<GuildDbContext>) || t == typeof(GuildWork));
        return barred is null ? null : $"{component.FullName} injects {barred.Name}; it should ask a use case.";
    }

    /// <summary>A use case does what one person asks: its public methods start with that person's key and end with a cancellation token.</summary>
    public static string? UseCaseStartsWithThePerson(Type useCase)
    {
        MethodInfo? wrong = useCase.GetMethods(BindingFlags.Instance | BindingFlags.Public | BindingFlags.DeclaredOnly)
            .FirstOrDefault(m => m.GetParameters() is not [{ } first, .., { } last] || first.ParameterType != typeof(Guid) || first.Name != "by" || last.ParameterType != typeof(CancellationToken));
        return wrong is null ? null : $"{useCase.FullName}.{wrong.Name} does not start with \"Guid by\" and end with a cancellation token.";
    }
}
