using GuildStash.Data;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Wanted;

/// <summary>Reads what the guild lacks.</summary>
public sealed class WantedReader(GuildWork work)
{
    /// <summary>With all projects by name and the pieces nobody has said the yarn of.</summary>
    public Task<Outcome<WantedSheet>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<WantedSheet>(by, Role.Member, async act => await WantedSheets.ReadAsync(act.Db, forEverybody: false, act.Cancellation), cancellation);

    /// <summary>As it may be printed and posted: projects without a public name are not named.</summary>
    public Task<Outcome<WantedSheet>> ForEverybodyAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<WantedSheet>(by, Role.Member, async act => await WantedSheets.ReadAsync(act.Db, forEverybody: true, act.Cancellation), cancellation);
}

/// <summary>
/// What the guild lacks as everybody may see it, where a coordinator switched that on. It asks for nobody's rights; what it reads names
/// no person, no donor and no lot.
/// </summary>
public sealed class OpenWanted(IDbContextFactory<GuildDbContext> contexts, GuildDefaults guild, TimeProvider clock)
{
    private readonly ForAMinute<WantedSheet> _kept = new(clock, 1);

    /// <summary>Switched on by a coordinator; follows a change on another node within a minute.</summary>
    public bool IsOpen => guild.WantedIsPublic;

    /// <summary>Null where the guild keeps it to its members.</summary>
    public Task<WantedSheet?> FindAsync(CancellationToken cancellation) => IsOpen ? _kept.GetAsync("", ReadAsync, cancellation) : Task.FromResult<WantedSheet?>(null);

    private async Task<WantedSheet?> ReadAsync(CancellationToken cancellation)
    {
        await using GuildDbContext db = await contexts.CreateDbContextAsync(cancellation);
        return await WantedSheets.ReadAsync(db, forEverybody: true, cancellation);
    }
}
