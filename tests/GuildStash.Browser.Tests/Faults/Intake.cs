using System.Collections.Concurrent;
using System.Net;
using System.Net.Http.Headers;
using System.Net.Http.Json;
using System.Net.Sockets;
using System.Text.Json;
using GuildStash.Browser.Tests.Support;
using Xunit;

namespace GuildStash.Browser.Tests.Faults;

/// <summary>
/// Volunteers who log gifts and sort them through the API while the world falls apart around them. Each save has a key of its own;
/// what was answered is remembered, and what was not is sent again with the same key.
/// </summary>
internal sealed class Intake : IDisposable
{
    private const int MostTries = 200;

    private readonly HttpClient _http;
    private readonly ConcurrentQueue<(string Path, string Key, object Body)> _unanswered = new();
    private int _sent;

    private Intake(Uri site, string token)
    {
        _http = new HttpClient { BaseAddress = site, Timeout = TimeSpan.FromMinutes(3) };
        _http.DefaultRequestHeaders.Authorization = new AuthenticationHeaderValue("Bearer", token);
    }

    /// <summary>Codes of the lots whose saving was acknowledged.</summary>
    public ConcurrentDictionary<string, string> Saved { get; } = new();

    /// <summary>Rules under which something was not saved, and how often each was told.</summary>
    public ConcurrentDictionary<string, int> Told { get; } = new();

    /// <summary>Saves that were broken off without an answer.</summary>
    public int BrokenOff { get; private set; }

    /// <summary>How the last of them broke off, for a failed test.</summary>
    public string? LastBreak { get; private set; }

    /// <param name="address">Another node of the same guild; the site's own when null.</param>
    public static async Task<Intake> BeginAsync(Site site, Uri? address = null) =>
        new(address ?? site.Address, await Founding.TokenAsync(site, $"scale {Guid.NewGuid():N}"));

    /// <summary>Logs a gift with one bag to sort lots from.</summary>
    public async Task<string> GiveAsync()
    {
        using HttpResponseMessage answer = await _http.PostAsJsonAsync("/api/v1/donations", new { kind = "donation", grossGrams = 90_000, tareGrams = 50 }, Site.Cancellation);
        string text = await answer.Content.ReadAsStringAsync(Site.Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.Created, text);
        return JsonElement.Parse(text).GetProperty("id").GetString()!;
    }

    /// <summary>Sorts lot after lot until told to stop or until the server is gone.</summary>
    public async Task SortAsync(string gift, Func<bool> goesOn, string notes = "")
    {
        while (goesOn())
        {
            if (!await TrySaveAsync($"/api/v1/donations/{gift}/lots", $"save {Interlocked.Increment(ref _sent)}", new { grams = 10 + (_sent % 40), weightClass = "dk", notes }))
            {
                return;
            }
        }
    }

    /// <summary>Sends once more what got no answer.</summary>
    public async Task SendAgainAsync()
    {
        // Each that waits once, and some more for those that are told to wait again.
        int most = _unanswered.Count + MostTries;
        for (int tries = 0; _unanswered.TryDequeue(out (string Path, string Key, object Body) save); tries++)
        {
            Assert.True(tries < most, $"{save.Key} was told {string.Join(", ", Told.Keys)} again and again.");
            Assert.True(await TrySaveAsync(save.Path, save.Key, save.Body), $"{save.Key} got no answer again.");
        }
    }

    public async Task<JsonElement> GetAsync(string path)
    {
        using HttpResponseMessage answer = await _http.GetAsync(new Uri(path, UriKind.Relative), Site.Cancellation);
        string text = await answer.Content.ReadAsStringAsync(Site.Cancellation);
        Assert.True(answer.StatusCode == HttpStatusCode.OK, text);
        return JsonElement.Parse(text);
    }

    public void Dispose() => _http.Dispose();

    /// <returns>False when the connection broke.</returns>
    private async Task<bool> TrySaveAsync(string path, string key, object body)
    {
        using HttpRequestMessage request = new(HttpMethod.Post, path) { Content = JsonContent.Create(body) };
        request.Headers.Add("Idempotency-Key", key);
        try
        {
            using HttpResponseMessage answer = await _http.SendAsync(request, Site.Cancellation);
            string text = await answer.Content.ReadAsStringAsync(Site.Cancellation);
            JsonElement said = JsonElement.Parse(text);
            if (answer.StatusCode == HttpStatusCode.Created)
            {
                Saved[key] = said.GetProperty("code").GetString()!;
                return true;
            }

            // Nothing but a database that is away may stand in the way, and it is said in a sentence.
            Assert.True(answer.StatusCode == HttpStatusCode.ServiceUnavailable, $"{(int)answer.StatusCode} {text}");
            Assert.EndsWith(".", said.GetProperty("detail").GetString(), StringComparison.Ordinal);
            Told.AddOrUpdate(said.GetProperty("rule").GetString()!, 1, (_, n) => n + 1);
            _unanswered.Enqueue((path, key, body));
            return true;
        }
        catch (Exception broken) when (broken is HttpRequestException or IOException or SocketException)
        {
            BrokenOff++;
            LastBreak = $"{key}: {broken}";
            _unanswered.Enqueue((path, key, body));
            return false;
        }
    }
}
