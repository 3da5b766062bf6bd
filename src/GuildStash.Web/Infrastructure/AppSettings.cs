namespace GuildStash.Web.Infrastructure;

/// <summary>What the running application needs to know from whoever started it.</summary>
/// <param name="AppConnection">Connection of the lesser role; migrations are done before with the owner's.</param>
/// <param name="PublicUrl">What QR codes point to, without a trailing slash; null while nobody set it.</param>
public sealed record AppSettings(string AppConnection, string? PublicUrl)
{
    /// <summary>Networks or addresses of reverse proxies whose forwarded headers are believed.</summary>
    public IReadOnlyList<string> Proxies { get; init; } = [];

    /// <summary>How back-ups are made; null: not from the running application.</summary>
    public SafeKeepingSettings? SafeKeeping { get; init; }
}

/// <summary>How the running application makes back-ups.</summary>
/// <param name="OwnerConnection">Connection of the role that owns the tables, which alone may read all of them for a dump.</param>
/// <param name="Folder">Where they go; null: none are made.</param>
public sealed record SafeKeepingSettings(string OwnerConnection, string? Folder);

/// <summary>The address under which people's phones reach this guild; QR codes point to it.</summary>
public sealed class PublicAddress(AppSettings settings, IHttpContextAccessor http)
{
    /// <summary>Without a trailing slash.</summary>
    public string Base => settings.PublicUrl ?? (http.HttpContext?.Request is { } request ? $"{request.Scheme}://{request.Host}" : "http://localhost:5080");

    /// <summary>A code with this address opens on nobody's phone but on this machine.</summary>
    public bool IsOnlyHere => Uri.TryCreate(Base, UriKind.Absolute, out Uri? uri) && uri.IsLoopback;

    /// <summary>Upper case, so that the QR code can use its compact alphanumeric mode; scheme and host don't mind, and the app's short paths are matched without case.</summary>
    public string ForQr(string path) => (Base + path).ToUpperInvariant();
}
