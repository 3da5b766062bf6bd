using System.Security.Claims;
using Bunit;
using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Web.Features.People;
using GuildStash.Web.Features.Setup;
using GuildStash.Web.Infrastructure.Security;
using Microsoft.AspNetCore.Components;
using Microsoft.AspNetCore.Components.Forms;
using Microsoft.AspNetCore.Components.Forms.Mapping;
using Microsoft.AspNetCore.Components.Web;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Identity;
using Microsoft.Extensions.DependencyInjection;

namespace GuildStash.Web.Tests.Support;

/// <summary>Pages that the server renders once for a request, here with a request and the form of it as the test says.</summary>
public abstract class AccountPages : DeskPages
{
    private readonly PostedForm _posted = new();

    /// <summary>Accounts as the application has them, to be asked for before somebody enters a room.</summary>
    protected void UseAccounts()
    {
        Ui.Services.AddLogging();
        Ui.Services.AddIdentityCore<Person>(options => options.User.AllowedUserNameCharacters = "").AddEntityFrameworkStores<GuildDbContext>().AddSignInManager().AddDefaultTokenProviders();
        Ui.Services.AddDataProtection().SetApplicationName("GuildStash").PersistKeysToDbContext<GuildDbContext>();
        Ui.Services.AddAuthentication(IdentityConstants.ApplicationScheme).AddCookie(IdentityConstants.ApplicationScheme);
        Ui.Services.AddSingleton<WrongTries>();
        Ui.Services.AddScoped<PasswordSignIn>();
        Ui.Services.AddScoped<AcceptInvitation>();
        Ui.Services.AddScoped<ChangeOwnPassword>();
        Ui.Services.AddScoped<ChooseNewPassword>();
        Ui.Services.AddScoped<MakeNewPasswordLink>();
        Ui.Services.AddSingleton<SetUpCode>();
        Ui.Services.AddScoped<SetUpGuild>();
        Ui.Services.AddScoped<AntiforgeryStateProvider, NoAntiforgery>();
        Ui.Services.AddSingleton<IFormValueMapper>(_posted);
        Ui.Services.AddSupplyValueFromFormProvider();
    }

    /// <summary>The page as a browser asks for it.</summary>
    protected IRenderedComponent<T> Get<T>(string address, ClaimsPrincipal? by = null, Action<ComponentParameterCollectionBuilder<T>>? with = null)
        where T : IComponent =>
        Ask(address, HttpMethods.Get, by, with);

    /// <summary>The page as it is before one of its forms is handled, with what was posted; the test then submits the form.</summary>
    protected IRenderedComponent<T> Post<T>(string address, string form, params (string Name, string Value)[] fields)
        where T : IComponent =>
        Post<T>(address, form, null, fields);

    /// <summary>As <see cref="Post{T}(string, string, ValueTuple{string, string}[])"/>, with what the page takes from its address.</summary>
    protected IRenderedComponent<T> Post<T>(string address, string form, Action<ComponentParameterCollectionBuilder<T>>? with, params (string Name, string Value)[] fields)
        where T : IComponent
    {
        (_posted.Form, _posted.Fields) = (form, fields.ToDictionary(f => f.Name, f => f.Value));
        return Ask(address, HttpMethods.Post, null, with);
    }

    private IRenderedComponent<T> Ask<T>(string address, string method, ClaimsPrincipal? by, Action<ComponentParameterCollectionBuilder<T>>? with)
        where T : IComponent
    {
        DefaultHttpContext http = new() { User = by ?? new ClaimsPrincipal(new ClaimsIdentity()) };
        http.Request.Method = method;
        Ui.Services.GetRequiredService<IHttpContextAccessor>().HttpContext = http;
        return Open<T>(address, parameters =>
        {
            parameters.AddCascadingValue<HttpContext>(http);
            with?.Invoke(parameters);
        });
    }

    private sealed class PostedForm : IFormValueMapper
    {
        public string? Form { get; set; }

        public Dictionary<string, string> Fields { get; set; } = [];

        public bool CanMap(Type valueType, string scopeName, string? formName) => Form is not null && (formName is null || formName == Form);

        public void Map(FormValueMappingContext context)
        {
            if (Fields.TryGetValue(context.ParameterName, out string? value))
            {
                context.SetResult(value);
            }
        }
    }

    private sealed class NoAntiforgery : AntiforgeryStateProvider
    {
        public override AntiforgeryRequestToken? GetAntiforgeryToken() => null;
    }
}
