using System.Security.Cryptography;
using System.Text;
using GuildStash.Data;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Setup;

/// <summary>
/// The one-time code that shows that who sets up the guild can also read this program's console. It lives in memory only: a
/// restart makes another, and once the guild exists there is none.
/// </summary>
public sealed class SetUpCode(IDbContextFactory<GuildDbContext> contexts)
{
    /// <summary>Without letters and digits that look alike; 32 of them make 5 bits each.</summary>
    private const string Letters = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

    private const int Length = 20;
    private const int GroupLength = 5;

    private readonly string _code = RandomNumberGenerator.GetString(Letters, Length);
    private volatile bool _done;

    /// <summary>Whether there is no guild yet. Asks the database until there is one, since another node may set it up.</summary>
    public async ValueTask<bool> IsNeededAsync(CancellationToken cancellation)
    {
        if (_done)
        {
            return false;
        }

        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        _done = await db.Guilds.AnyAsync(cancellation);
        return !_done;
    }

    /// <summary>The code in groups, while the guild is not set up; else null.</summary>
    public async Task<string?> CurrentAsync(CancellationToken cancellation) =>
        await IsNeededAsync(cancellation) ? string.Join('-', _code.Chunk(GroupLength).Select(group => new string(group))) : null;

    /// <summary>What the program prints when it has started, while the guild is not set up; else null.</summary>
    /// <param name="address">Where the pages are served, without a trailing slash.</param>
    public async Task<string?> LineAsync(string address, CancellationToken cancellation) =>
        await CurrentAsync(cancellation) is { } code ? $"This guild is not set up yet. Open {address}/setup?code={code} to do it; the code holds until this program stops." : null;

    /// <summary>Compares in a time that does not tell how much of the code is right; spaces, dashes and case don't count.</summary>
    public bool Matches(string? typed)
    {
        string bare = string.Concat((typed ?? "").Where(char.IsAsciiLetterOrDigit)).ToUpperInvariant();
        return CryptographicOperations.FixedTimeEquals(Encoding.UTF8.GetBytes(bare), Encoding.UTF8.GetBytes(_code));
    }
}
