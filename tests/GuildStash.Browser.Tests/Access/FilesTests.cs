using System.Net.Http.Headers;
using System.Text.RegularExpressions;
using Xunit;

namespace GuildStash.Browser.Tests.Access;

/// <summary>Style sheets and scripts of the published program, as a phone gets them.</summary>
[Collection(DemoCollection.Name)]
public sealed partial class FilesTests(DemoSite demo)
{
    [Fact]
    public async Task Files_WhenAPageLoadsThem_ComePackedAndAreKept()
    {
        using HttpClient http = new(new SocketsHttpHandler { UseCookies = false }) { BaseAddress = demo.Site.Address };
        string page = await http.GetStringAsync(new Uri("/account/sign-in", UriKind.Relative), Support.Site.Cancellation);
        // The sheet of the theme is written by the program.
        List<string> files = [.. Linked().Matches(page).Select(m => m.Groups[1].Value).Where(file => !file.StartsWith("theme.css", StringComparison.Ordinal))];
        Assert.Contains(files, file => file.Contains("MudBlazor.min.css", StringComparison.Ordinal));
        Assert.True(files.Count > 15, string.Join(", ", files));
        foreach (string file in files)
        {
            using HttpRequestMessage request = new(HttpMethod.Get, "/" + file.TrimStart('/'));
            request.Headers.AcceptEncoding.Add(new StringWithQualityHeaderValue("br"));
            using HttpResponseMessage answer = await http.SendAsync(request, Support.Site.Cancellation);

            Assert.True(answer.IsSuccessStatusCode, $"{file}: {answer.StatusCode}");
            Assert.True(answer.Content.Headers.ContentEncoding.Contains("br"), $"{file}: {answer.Content.Headers.ContentLength} bytes, unpacked");
            Assert.True(answer.Headers.CacheControl is { MaxAge.TotalDays: > 300 }, $"{file}: {answer.Headers.CacheControl}");
        }
    }

    [GeneratedRegex("(?:href|src)=\"([^\"]+\\.(?:css|js)(?:\\?[^\"]*)?)\"")]
    private static partial Regex Linked();
}
