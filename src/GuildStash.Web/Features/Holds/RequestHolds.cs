using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Holds;

/// <summary>Yarn of one lot, asked for in grams or in metres, not both.</summary>
/// <param name="Metres">By the lot's low figure, so that the yarn does not run out.</param>
public sealed record WantedYarn(string LotCode, decimal? Grams, double? Metres);

/// <param name="MemberId">Null: for oneself. A volunteer may ask for somebody else.</param>
/// <param name="Days">Days until the hold lapses; the guild's setting when null.</param>
public sealed record HoldInput(IReadOnlyList<WantedYarn> Yarn, Guid? ProjectId = null, Guid? MemberId = null, string? Note = null, int? Days = null);

/// <param name="OldCode">The code that was asked for, without hyphen, where its lot went into this one; else null.</param>
public sealed record PlacedHold(Guid Id, string LotCode, long Mg, double? MetresLow, DateTimeOffset ExpiresAt, string? OldCode = null);

public sealed record PlacedRequest(Guid Id, string Number, IReadOnlyList<PlacedHold> Holds);

/// <summary>
/// Promises yarn of one or several lots to a member: all of it or nothing. Never more than is free, which the lots' locks and the
/// database's constraint guard, and never what the project's rules bar.
/// </summary>
public sealed class RequestHolds(GuildWork work)
{
    public const int MostLots = 50;
    public const int MostDays = 365;

    public Task<Outcome<PlacedRequest>> RunAsync(Guid by, HoldInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Member, act => PlaceAsync(act, input), cancellation);

    /// <summary>
    /// Days that a person may keep yarn for themselves, from the day it is reserved: twice the guild's, a judgement, so that nobody
    /// keeps it from others for good. Who reserves for somebody else may go up to <see cref="MostDays"/>.
    /// </summary>
    public static int MostOwnDays(GuildSettings guild) => Math.Min(MostDays, 2 * guild.HoldDays);

    /// <summary>What stands before the name of a lot's field in refusals: nothing for a single lot, else "lots[1].".</summary>
    public static string Prefix(int lots, int index) => lots == 1 ? "" : $"lots[{index}].";

    /// <summary>The same inside another use case, for instance one that makes a kit of what is promised.</summary>
    /// <param name="isForNobodyYet">It stands in the person's name until somebody is found, so it is not kept for oneself.</param>
    internal static async Task<Outcome<PlacedRequest>> PlaceAsync(Act act, HoldInput input, bool isForNobodyYet = false)
    {
        if (input.Yarn.Count is < 1 or > MostLots)
        {
            return Refusal.Invalid("lots", "A request has 1 to {0} lots; {1} were given.", MostLots, input.Yarn.Count);
        }

        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        Outcome<HoldRequest> made = await NewRequestAsync(act, input);
        if (!made.IsOk)
        {
            return Outcome<PlacedRequest>.Refused(made.Refusals);
        }

        HoldRequest request = made.Value;
        int days = input.Days ?? guild.HoldDays;
        Check check = new();
        int most = request.MemberId == act.By.Id && !isForNobodyYet ? MostOwnDays(guild) : MostDays;
        check.That(days >= 1 && days <= most, "days", "A hold lasts 1 to {0} days; {1} were asked for.", most, days);
        List<WantedLine> lines = await WantedLines.LockedAsync(act, input.Yarn, request.Project);
        lines.SelectMany(l => l.Refusals).ToList().ForEach(check.Add);
        if (check.Failed)
        {
            return check.Refuse<PlacedRequest>();
        }

        List<PlacedHold> placed = [.. lines.Zip(input.Yarn, (line, wanted) => Add(request, line, wanted, act.Now.AddDays(days)))];
        int year = GuildClock.Today(guild, act.Now).Year;
        request.Number = Numbers.Format('R', year, await Numbers.NextAsync(act.Db, Numbers.Requests, year, act.Cancellation));
        act.Db.HoldRequests.Add(request);
        await act.Db.SaveChangesAsync(act.Cancellation);
        return new PlacedRequest(request.Id, request.Number, placed);
    }

    private static PlacedHold Add(HoldRequest request, WantedLine line, WantedYarn wanted, DateTimeOffset expiresAt)
    {
        (Lot lot, long mg) = (line.Lot!, line.Mg!.Value);
        Hold hold = new()
        {
            RequestId = request.Id,
            LotId = lot.Id,
            Mg = mg,
            WantedMetres = wanted.Metres,
            CreatedAt = request.CreatedAt,
            ExpiresAt = expiresAt,
        };
        request.Holds.Add(hold);
        return new PlacedHold(hold.Id, lot.Code, mg, LotTraitsOf.LengthOf(lot, mg)?.Low.Metres, expiresAt, line.OldCode);
    }

    private static async Task<Outcome<HoldRequest>> NewRequestAsync(Act act, HoldInput input)
    {
        Guid member = input.MemberId ?? act.By.Id;
        if (member != act.By.Id && act.By.Role < Role.Volunteer)
        {
            return Refusal.Forbidden("You can reserve for yourself only. Ask a volunteer to reserve for somebody else.");
        }

        if (!await act.Db.People.AnyAsync(p => p.Id == member && p.DisabledAt == null, act.Cancellation))
        {
            return Refusal.Invalid("memberId", "There is no such member.");
        }

        Project? project = null;
        if (input.ProjectId is { } projectId)
        {
            Outcome<Project> open = await OpenProject.FindAsync(act, projectId);
            if (!open.IsOk)
            {
                return Outcome<HoldRequest>.Refused(open.Refusals);
            }

            project = open.Value;
        }

        Check check = new();
        string note = check.Text(input.Note, "note", 500);
        return check.Failed
            ? check.Refuse<HoldRequest>()
            : new HoldRequest { Number = "", MemberId = member, ProjectId = project?.Id, Project = project, Note = note, CreatedAt = act.Now, CreatedById = act.By.Id };
    }
}
