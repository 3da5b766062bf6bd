using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Home;

/// <summary>What a list of the start page is about.</summary>
public enum HomeSection
{
    /// <summary>Bags on the way to the sorting table.</summary>
    Sort = 0,

    /// <summary>Bags in quarantine.</summary>
    Inspect = 1,

    /// <summary>Lots that are kept apart though their bag is not, by bag.</summary>
    LotsApart = 2,

    /// <summary>Leftovers that nobody has passed yet.</summary>
    Returns = 3,

    /// <summary>Requests with yarn to be weighed out. Of a kit that nobody makes yet: the kit's number, and nobody's name.</summary>
    Prepare = 4,

    /// <summary>Others' requests, and kits that nobody makes yet, of which something lapses within days.</summary>
    Lapsing = 5,

    /// <summary>Yarn at members' homes past its day.</summary>
    Late = 6,

    /// <summary>The person's own requests of which something lapses within days.</summary>
    MyHolds = 7,

    /// <summary>The person's own yarn that is due within days or late.</summary>
    MyYarn = 8,

    /// <summary>Projects that look for hands.</summary>
    Projects = 9,

    /// <summary>Invitations whose link still holds.</summary>
    Invitations = 10,

    /// <summary>Requests that the person may approve.</summary>
    SecondPerson = 11,

    /// <summary>Plans that ended with the program, and what is wanted where that was reckoned long ago.</summary>
    Plans = 12,

    /// <summary>What a new room needs before its first bag is sorted, as far as it is not done.</summary>
    FirstSteps = 13,
}

/// <summary>One line of the start page; what its columns hold depends on the section, see <see cref="HomeSql"/>.</summary>
/// <param name="Place">Place in its section, from 1.</param>
/// <param name="Total">How many there are in its section, shown or not.</param>
/// <param name="Id">Key in the address that it leads to.</param>
public sealed record HomeEntry(
    string Section, long Place, long Total, Guid Id, string Code, string Name, string About, long Mg, long Number, DateTimeOffset? At, DateOnly? Day);

/// <summary>A list of the start page: its first lines and how many there are.</summary>
public sealed record HomeExcerpt(HomeSection Section, long Total, IReadOnlyList<HomeEntry> Rows);

/// <param name="Today">Day in the guild's zone.</param>
public sealed record HomeView(DateOnly Today, IReadOnlyList<HomeExcerpt> Lists);

/// <summary>Reads what waits for the person who is signed in, as far as their role may see it: two queries, whatever the role.</summary>
public sealed class HomeReader(GuildWork work)
{
    /// <summary>Lines of each list.</summary>
    public const int Shown = 5;

    /// <summary>Holds that lapse within so many days are listed; a judgement: time enough to send word before the weekend is over.</summary>
    public const int LapsingDays = 3;

    /// <summary>Own yarn that is due within so many days is listed; a judgement.</summary>
    public const int DueDays = 7;

    /// <summary>It is reckoned every night, so that after so many days something keeps it from that; a judgement.</summary>
    public const int OldWantedDays = 3;

    /// <summary>What stands about the line of the wanted yarn, <see cref="HomeEntry.About"/>.</summary>
    public const string OldWanted = "OldWanted";

    /// <summary>The first steps, <see cref="HomeEntry.About"/>.</summary>
    public const string MakeBins = "Bins";

    /// <inheritdoc cref="MakeBins"/>
    public const string PrintLabels = "Labels";

    /// <inheritdoc cref="MakeBins"/>
    public const string InvitePeople = "People";

    /// <inheritdoc cref="MakeBins"/>
    public const string FillPieceBook = "Pieces";

    /// <summary>Interrupted plans are listed so many days; a judgement: by then the room's yarn is another.</summary>
    public const int InterruptedDays = 14;

    public Task<Outcome<HomeView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<HomeView>(by, Role.Member, async act =>
        {
            IQueryable<Kit> open = act.Db.Kits.Open(act.Db, act.Now);
            var known = await act.Db.Guilds.Select(g => new { Guild = g, Nobodys = open.Select(k => k.RequestId).ToList() }).SingleAsync(act.Cancellation);
            DateOnly today = GuildClock.Today(known.Guild, act.Now);
            List<HomeEntry> rows = await act.Db.Database.SqlQuery<HomeEntry>(HomeSql.For(act, today, [.. known.Nobodys])).ToListAsync(act.Cancellation);
            return new HomeView(today, [.. rows
                .GroupBy(r => Enum.Parse<HomeSection>(r.Section)).OrderBy(g => g.Key != HomeSection.FirstSteps).ThenBy(g => g.Key)
                .Select(g => new HomeExcerpt(g.Key, g.First().Total, [.. g.OrderBy(r => r.Place)]))]);
        }, cancellation);
}
