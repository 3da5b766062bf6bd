using System.Net;
using AngleSharp.Dom;
using AngleSharp.Html.Dom;
using AngleSharp.Html.Parser;

namespace GuildStash.Web.Tests.Support;

/// <summary>Opens pages and posts their forms as a browser without scripts does.</summary>
public sealed class Visitor : IDisposable
{
    private readonly HttpClient _http;

    public Visitor(Uri address)
    {
        SocketsHttpHandler handler = new() { AllowAutoRedirect = false, CookieContainer = Cookies };
        _http = new HttpClient(handler) { BaseAddress = address };
    }

    public CookieContainer Cookies { get; } = new();

    public Task<HttpResponseMessage> GetAsync(string path) => _http.GetAsync(path, GuildRoom.Cancellation);

    /// <summary>Sends what no form would, with this visitor's cookies.</summary>
    public Task<HttpResponseMessage> SendAsync(HttpRequestMessage request) => _http.SendAsync(request, GuildRoom.Cancellation);

    public async Task<IHtmlDocument> OpenAsync(string path)
    {
        using HttpResponseMessage answer = await GetAsync(path);
        return await PageAsync(answer);
    }

    public static async Task<IHtmlDocument> PageAsync(HttpResponseMessage answer) =>
        new HtmlParser().ParseDocument(await answer.Content.ReadAsStringAsync(GuildRoom.Cancellation));

    /// <summary>Where a redirect leads: path and query on this site, else the whole address.</summary>
    public string? Target(HttpResponseMessage answer)
    {
        Uri? to = answer.Headers.Location is { } location ? new Uri(_http.BaseAddress!, location) : null;
        return to is null ? null : to.Authority == _http.BaseAddress!.Authority ? to.PathAndQuery : to.ToString();
    }

    /// <summary>Opens a page, fills one of its forms and posts it with everything else the form holds.</summary>
    /// <param name="form">The form's name.</param>
    public async Task<HttpResponseMessage> PostAsync(string path, string form, params (string Name, string Value)[] typed)
    {
        IHtmlDocument page = await OpenAsync(path);
        IElement inForm = page.QuerySelector($"input[name=_handler][value='{form}']") ?? throw new InvalidOperationException($"{path} has no form {form}: {page.Body?.TextContent}");
        return await PostAsync(path, inForm.Closest("form")!, typed);
    }

    public Task<HttpResponseMessage> PostAsync(string path, IElement form, params (string Name, string Value)[] typed)
    {
        Dictionary<string, string> fields = [];
        foreach (IElement input in form.QuerySelectorAll("input[name], select[name], textarea[name]"))
        {
            if (input is IHtmlInputElement { Type: "checkbox" or "radio", IsChecked: false })
            {
                continue;
            }

            fields[input.GetAttribute("name")!] = input switch { IHtmlInputElement i => i.Value, IHtmlSelectElement s => s.Value ?? "", IHtmlTextAreaElement t => t.Value, _ => "" };
        }

        foreach ((string name, string value) in typed)
        {
            fields[name] = value;
        }

        return _http.PostAsync(form.GetAttribute("action") ?? path, new FormUrlEncodedContent(fields), GuildRoom.Cancellation);
    }

    /// <summary>Posts without what the page's form would bring.</summary>
    public Task<HttpResponseMessage> PostBareAsync(string path, params (string Name, string Value)[] typed) =>
        _http.PostAsync(path, new FormUrlEncodedContent(typed.ToDictionary(t => t.Name, t => t.Value)), GuildRoom.Cancellation);

    public void Dispose() => _http.Dispose();
}
