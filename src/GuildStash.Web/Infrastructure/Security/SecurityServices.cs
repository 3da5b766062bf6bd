using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Web.Features.People;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.AspNetCore.Components.Authorization;
using Microsoft.AspNetCore.Components.Server;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Identity;

namespace GuildStash.Web.Infrastructure.Security;

internal static class SecurityServices
{
    /// <summary>Rounds of PBKDF2 with HMAC-SHA-512 (OWASP, Password Storage Cheat Sheet); older hashes are renewed at the next sign-in.</summary>
    private const int HashRounds = 210_000;

    /// <summary>Accounts with lockout, a strict same-site cookie, and keys that live in the database so that every node and restart reads it.</summary>
    public static IServiceCollection AddGuildSecurity(this IServiceCollection services)
    {
        services.AddIdentityCore<Person>(options =>
            {
                options.User.RequireUniqueEmail = true;
                options.User.AllowedUserNameCharacters = "";
                options.Password.RequiredLength = 10;
                options.Password.RequireNonAlphanumeric = false;
                options.Password.RequireUppercase = false;
                options.Password.RequireLowercase = false;
                options.Password.RequireDigit = false;
                options.Password.RequiredUniqueChars = 4;
                options.Lockout.MaxFailedAccessAttempts = 8;
                options.Lockout.DefaultLockoutTimeSpan = TimeSpan.FromMinutes(10);
                options.Lockout.AllowedForNewUsers = true;
            })
            .AddEntityFrameworkStores<GuildDbContext>()
            .AddSignInManager()
            .AddClaimsPrincipalFactory<PersonClaims>()
            .AddDefaultTokenProviders();
        services.AddAuthentication(IdentityConstants.ApplicationScheme).AddCookie(IdentityConstants.ApplicationScheme, options =>
        {
            options.Cookie.Name = "guildstash";
            options.Cookie.HttpOnly = true;
            options.Cookie.SameSite = SameSiteMode.Lax;
            options.Cookie.SecurePolicy = CookieSecurePolicy.SameAsRequest;
            options.LoginPath = "/account/sign-in";
            options.ReturnUrlParameter = "returnUrl";
            options.AccessDeniedPath = "/not-allowed";
            options.ExpireTimeSpan = SignInLifetime.WithoutUse;
            options.SlidingExpiration = true;
            options.Events.OnSigningIn = SignInLifetime.BeginAsync;
            options.Events.OnValidatePrincipal = SignInLifetime.CheckAsync;
        })
        .AddCookie(IdentityConstants.TwoFactorRememberMeScheme); // Never issued, but the validator fails if it can't end it.
        services.Configure<SecurityStampValidatorOptions>(options => options.ValidationInterval = TimeSpan.FromMinutes(1));
        services.Configure<PasswordHasherOptions>(options => options.IterationCount = HashRounds);
        services.Configure<DataProtectionTokenProviderOptions>(options => options.TokenLifespan = TimeSpan.FromHours(NewPasswordLinks.Hours));
        services.AddAntiforgery(options => options.Cookie.SecurePolicy = CookieSecurePolicy.SameAsRequest);
        services.AddAuthorization(Policies.Add);
        services.AddCascadingAuthenticationState();
        services.AddScoped<AuthenticationStateProvider, RevalidatingPerson>();
        services.AddScoped<SignedIn>();
        services.AddSingleton<WrongTries>();
        services.AddScoped<PasswordSignIn>();
        services.AddScoped<IdempotencySlot>();
        services.AddDataProtection().SetApplicationName("GuildStash").PersistKeysToDbContext<GuildDbContext>();
        return services;
    }
}

/// <summary>Looks every minute whether the account of an open page is still active, with the same password and role.</summary>
internal sealed class RevalidatingPerson(ILoggerFactory loggers, IServiceScopeFactory scopes) : RevalidatingServerAuthenticationStateProvider(loggers)
{
    protected override TimeSpan RevalidationInterval => TimeSpan.FromMinutes(1);

    protected override async Task<bool> ValidateAuthenticationStateAsync(AuthenticationState state, CancellationToken cancellation)
    {
        await using AsyncServiceScope scope = scopes.CreateAsyncScope();
        UserManager<Person> users = scope.ServiceProvider.GetRequiredService<UserManager<Person>>();
        Person? person = await users.GetUserAsync(state.User);
        return person is { DisabledAt: null }
            && state.User.IsInRole(person.Role.Key())
            && state.User.FindFirst(users.Options.ClaimsIdentity.SecurityStampClaimType)?.Value == await users.GetSecurityStampAsync(person);
    }
}
