namespace GuildStash.Web.Components.Shared;

/// <summary>
/// A component's leaving of the page, which calls off what it still asks for. Its token may be asked for afterwards too: whoever goes on quickly to
/// another page leaves a component between two of its questions.
/// </summary>
public sealed class Departure : IDisposable
{
    private readonly CancellationTokenSource _source = new();

    public Departure() => Token = _source.Token;

    /// <summary>Cancelled once the component is gone.</summary>
    public CancellationToken Token { get; }

    public void Dispose()
    {
        _source.Cancel();
        _source.Dispose();
    }
}
