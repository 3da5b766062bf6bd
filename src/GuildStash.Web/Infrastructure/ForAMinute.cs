using System.Collections.Concurrent;

namespace GuildStash.Web.Infrastructure;

/// <summary>
/// Keeps for a minute what anybody may see, so that a page that is passed around asks the database once a minute and node, and one
/// question at a time. What is not there is not kept.
/// </summary>
/// <param name="clock">Measures the minute.</param>
/// <param name="most">Answers that are kept at once; where there would be more, all are forgotten.</param>
public sealed class ForAMinute<T>(TimeProvider clock, int most)
    where T : class
{
    private static readonly TimeSpan s_kept = TimeSpan.FromMinutes(1);

    private readonly ConcurrentDictionary<string, (DateTimeOffset Until, T Answer)> _answers = new(StringComparer.Ordinal);
    private readonly SemaphoreSlim _turn = new(1, 1);

    /// <summary>The kept answer, else the one that is asked for now.</summary>
    public async Task<T?> GetAsync(string key, Func<CancellationToken, Task<T?>> ask, CancellationToken cancellation)
    {
        if (Kept(key) is { } kept)
        {
            return kept;
        }

        await _turn.WaitAsync(cancellation);
        try
        {
            if (Kept(key) is { } meanwhile)
            {
                return meanwhile;
            }

            T? answer = await ask(cancellation);
            if (answer is not null)
            {
                Keep(key, answer);
            }

            return answer;
        }
        finally
        {
            _turn.Release();
        }
    }

    private T? Kept(string key) => _answers.TryGetValue(key, out (DateTimeOffset Until, T Answer) found) && found.Until > clock.GetUtcNow() ? found.Answer : null;

    private void Keep(string key, T answer)
    {
        if (_answers.Count >= most && !_answers.ContainsKey(key))
        {
            _answers.Clear();
        }

        _answers[key] = (clock.GetUtcNow() + s_kept, answer);
    }
}
