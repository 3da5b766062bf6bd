namespace GuildStash.Web.Features.Holds;

/// <summary>
/// Tells a page's own changes of its address from others'. Its own come back a moment later, over the network: by then the page may already
/// show what was asked for next, and must not go back to what the address says.
/// </summary>
public sealed class OwnAddress
{
    private readonly List<string> _underWay = [];
    private string? _seen;

    /// <summary>The page shows this and is about to say so in its address.</summary>
    public void Going(string key)
    {
        if (key != (_underWay.Count > 0 ? _underWay[^1] : _seen))
        {
            _underWay.Add(key);
        }
    }

    /// <summary>Whether an address that came asks for what the page did not go to by itself.</summary>
    public bool IsNews(string key)
    {
        if (key == _seen)
        {
            return false;
        }

        _seen = key;
        int own = _underWay.IndexOf(key);
        _underWay.RemoveRange(0, own < 0 ? _underWay.Count : own + 1);
        return own < 0;
    }
}
