using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;
using Npgsql;

namespace GuildStash.Data.Server;

/// <summary>Keeps one server process running until told to stop.</summary>
internal sealed class PostmasterSupervisor
{
    private static readonly TimeSpan FirstPause = TimeSpan.FromMilliseconds(100);
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(30);
    private static readonly TimeSpan SteadyRun = TimeSpan.FromMinutes(1);

    private static readonly TimeSpan LongestPauseOfOneThatAnswered = TimeSpan.FromSeconds(2);

    private readonly Func<CancellationToken, Task<Postmaster>> _launch;
    private readonly Func<Postmaster, CancellationToken, Task> _waitUntilReady;
    private readonly TimeSpan _stopTimeout;
    private readonly ILogger _logger;
    private readonly CancellationTokenSource _stopping = new();
    private readonly Task _watch;
    private volatile Postmaster _current;

    /// <param name="first">A server that answers.</param>
    /// <param name="launch">Starts another after an unexpected end.</param>
    public PostmasterSupervisor(
        Postmaster first,
        Func<CancellationToken, Task<Postmaster>> launch,
        Func<Postmaster, CancellationToken, Task> waitUntilReady,
        TimeSpan stopTimeout,
        ILogger? logger)
    {
        (_current, _launch, _waitUntilReady, _stopTimeout) = (first, launch, waitUntilReady, stopTimeout);
        _logger = logger ?? NullLogger.Instance;
        _watch = Task.Run(WatchAsync);
    }

    public Postmaster Current => _current;

    public async Task StopAsync()
    {
        await _stopping.CancelAsync().ConfigureAwait(false);
        await _watch.ConfigureAwait(false);
        await _current.StopAsync(_stopTimeout).ConfigureAwait(false);
        _stopping.Dispose();
    }

    /// <summary>
    /// The pause before the next attempt doubles from 0.1 s to 30 s; it is never given up while the app runs. A server that answered can
    /// answer again: people wait for it at most 2 s, however often it was killed.
    /// </summary>
    internal static TimeSpan PauseAfter(int failures, bool hasAnswered) =>
        TimeSpan.FromTicks(Math.Min(FirstPause.Ticks << Math.Min(failures, 20), (hasAnswered ? LongestPauseOfOneThatAnswered : LongestPause).Ticks));

    private async Task WatchAsync()
    {
        var (failures, hasAnswered) = (0, true);
        try
        {
            while (true)
            {
                var started = DateTime.UtcNow;
                await _current.WaitForExitAsync(_stopping.Token).ConfigureAwait(false);
                failures = DateTime.UtcNow - started > SteadyRun ? 0 : failures + 1;
                // Pooled sessions died with the server; without this each would fail one later request.
                NpgsqlConnection.ClearAllPools();
                _logger.LogWarning("The database server (process {Process}) ended unexpectedly and is started again.", _current.ProcessId);
                await Task.Delay(PauseAfter(failures - 1, hasAnswered), _stopping.Token).ConfigureAwait(false);
                hasAnswered = await TryRestartAsync().ConfigureAwait(false);
            }
        }
        catch (OperationCanceledException) when (_stopping.IsCancellationRequested)
        {
        }
    }

    private async Task<bool> TryRestartAsync()
    {
        try
        {
            _current = await _launch(_stopping.Token).ConfigureAwait(false);
            await _waitUntilReady(_current, _stopping.Token).ConfigureAwait(false);
            _logger.LogInformation("The database server answers again (process {Process}).", _current.ProcessId);
            return true;
        }
        catch (Exception fault) when (fault is ServerStartException or IOException or UnauthorizedAccessException)
        {
            // A server that cannot be started counts as one that ended: the watch comes round after a longer pause.
            _logger.LogError(fault, "The database server could not be started again.");
            return false;
        }
    }
}
