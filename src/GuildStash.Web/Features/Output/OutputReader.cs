using GuildStash.Data.Guild;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Output;

/// <summary>What one recipient got in one year of the guild's calendar.</summary>
/// <param name="Recipient">As the projects name it; empty for projects without one and pieces without a project.</param>
/// <param name="Pieces">Handed to the recipient.</param>
/// <param name="Mg">Worked into the projects' pieces, by the books.</param>
/// <param name="Metres">Of that yarn, by the likely figures of its lots.</param>
/// <param name="UnmeasuredMg">The part of the milligrams whose length nobody knows; it is not in the metres.</param>
public sealed record OutputRow(string Recipient, int Year, long Pieces, long Mg, double Metres, long UnmeasuredMg);

/// <summary>Rows of the years and recipients, the newest year first, then by recipient.</summary>
/// <param name="IsCut">There are more rows than are read at once.</param>
public sealed record OutputView(IReadOnlyList<OutputRow> Rows, bool IsCut);

/// <summary>Reads what left the room as finished pieces.</summary>
public sealed class OutputReader(GuildWork work)
{
    /// <summary>Recipients times years: a guild with 50 recipients reaches it after a century.</summary>
    public const int MostRows = 5_000;

    public Task<Outcome<OutputView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<OutputView>(by, Role.Member, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            List<OutputRow> rows = await act.Db.Database.SqlQuery<OutputRow>(OutputSql.Of(GuildClock.Zone(guild).Id, MostRows + 1)).ToListAsync(act.Cancellation);
            return new OutputView([.. rows.Take(MostRows)], rows.Count > MostRows);
        }, cancellation);
}
