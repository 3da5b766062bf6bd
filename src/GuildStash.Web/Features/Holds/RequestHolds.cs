using GuildStash.Data.Guild;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
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

public sealed record PlacedHold(Guid Id, string LotCode, long Mg, double? MetresLow, DateTimeOffset ExpiresAt);

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

    private static async Task<Outcome<PlacedRequest>> PlaceAsync(Act act, HoldInput input)
    {
        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        Outcome<HoldRequest> request = await NewRequestAsync(act, input);
        if (!request.IsOk)
        {
            return Outcome<PlacedRequest>.Refused(request.Refusals);
        }

        int days = input.Days ?? guild.HoldDays;
        Check check = new();
        check.That(input.Yarn.Count is >= 1 and <= MostLots, "lots", "A request has 1 to {0} lots; {1} were given.", MostLots, input.Yarn.Count);
        check.That(days is >= 1 and <= MostDays, "days", "A hold lasts 1 to {0} days; {1} were asked for.", MostDays, days);
        Outcome<Dictionary<string, Lot>> lots = await LockedAsync(act, input, check);
        if (!lots.IsOk)
        {
            return Outcome<PlacedRequest>.Refused(lots.Refusals);
        }

        List<PlacedHold> placed = [];
        Dictionary<Guid, long> promised = [];
        foreach ((WantedYarn wanted, int index) in input.Yarn.Select((w, i) => (w, i)))
        {
            Lot lot = lots.Value[LotCode.Parse(wanted.LotCode).Value.Value];
            Outcome<long> mg = Amount(lot, wanted, request.Value.Project, promised.GetValueOrDefault(lot.Id), Field(input, index));
            if (!mg.IsOk)
            {
                return Outcome<PlacedRequest>.Refused(mg.Refusals);
            }

            promised[lot.Id] = promised.GetValueOrDefault(lot.Id) + mg.Value;
            Hold hold = new()
            {
                RequestId = request.Value.Id,
                LotId = lot.Id,
                Mg = mg.Value,
                WantedMetres = wanted.Metres,
                CreatedAt = act.Now,
                ExpiresAt = act.Now.AddDays(days),
            };
            request.Value.Holds.Add(hold);
            placed.Add(new PlacedHold(hold.Id, lot.Code, hold.Mg, LotTraitsOf.LengthOf(lot, hold.Mg)?.Low.Metres, hold.ExpiresAt));
        }

        int year = GuildClock.Today(guild, act.Now).Year;
        request.Value.Number = Numbers.Format('R', year, await Numbers.NextAsync(act.Db, Numbers.Requests, year, act.Cancellation));
        act.Db.HoldRequests.Add(request.Value);
        await act.Db.SaveChangesAsync(act.Cancellation);
        return new PlacedRequest(request.Value.Id, request.Value.Number, placed);
    }

    private static string Field(HoldInput input, int index) => input.Yarn.Count == 1 ? "" : $"lots[{index}].";

    private static async Task<Outcome<HoldRequest>> NewRequestAsync(Act act, HoldInput input)
    {
        Guid member = input.MemberId ?? act.By.Id;
        if (member != act.By.Id)
        {
            if (act.By.Role < Role.Volunteer)
            {
                return Refusal.Forbidden("You can reserve for yourself only. Ask a volunteer to reserve for somebody else.");
            }

            if (!await act.Db.People.AnyAsync(p => p.Id == member && p.DisabledAt == null, act.Cancellation))
            {
                return Refusal.Invalid("memberId", "There is no such member.");
            }
        }

        Project? project = null;
        if (input.ProjectId is { } projectId)
        {
            project = await act.Db.Projects.SingleOrDefaultAsync(p => p.Id == projectId, act.Cancellation);
            if (project is null)
            {
                return Refusal.Invalid("projectId", "There is no such project.");
            }

            if (project.ClosedAt is not null)
            {
                return Refusal.Conflict("project-closed", "The project {0} is closed. Reserve for another, or without a project.", project.Name);
            }
        }

        Check check = new();
        string note = check.Text(input.Note, "note", 500);
        return check.Failed
            ? check.Refuse<HoldRequest>()
            : new HoldRequest { Number = "", MemberId = member, ProjectId = project?.Id, Project = project, Note = note, CreatedAt = act.Now, CreatedById = act.By.Id };
    }

    private static async Task<Outcome<Dictionary<string, Lot>>> LockedAsync(Act act, HoldInput input, Check check)
    {
        List<string> codes = [];
        for (int i = 0; i < input.Yarn.Count; i++)
        {
            Outcome<LotCode> code = LotCode.Parse(input.Yarn[i].LotCode);
            if (code.IsOk)
            {
                codes.Add(code.Value.Value);
            }
            else
            {
                check.Add(code.Refusal with { Field = Field(input, i) + "lotCode" });
            }
        }

        if (check.Failed)
        {
            return check.Refuse<Dictionary<string, Lot>>();
        }

        List<Guid> ids = await act.Db.Lots.Where(l => codes.Contains(l.Code)).Select(l => l.Id).ToListAsync(act.Cancellation);
        Dictionary<string, Lot> lots = (await LotLock.TakeAsync(act.Db, ids, act.Cancellation)).ToDictionary(l => l.Code);
        string? missing = codes.Find(c => !lots.ContainsKey(c));
        return missing is null ? lots : Refusal.NotFound("There is no lot {0}. Check the label.", LotCode.Parse(missing).Value.Display);
    }

    /// <summary>How many milligrams the wish comes to, or the rule that bars it.</summary>
    internal static Outcome<long> Amount(Lot lot, WantedYarn wanted, Project? project, long promisedBefore, string prefix)
    {
        string code = LotCode.Parse(lot.Code).Value.Display;
        if (HoldRules.MayBePromised(lot, project) is { Count: > 0 } refusals)
        {
            return Outcome<long>.Refused(refusals);
        }

        long free = lot.OnHandMg - lot.HeldMg - lot.QuarantinedMg - promisedBefore;
        if (wanted.Grams is not null == wanted.Metres is not null)
        {
            return Refusal.Invalid(prefix + "grams", "Say how much of lot {0} you want: either grams or metres.", code);
        }

        if (wanted.Grams is { } grams)
        {
            Outcome<Mass> mass = MassLimits.LotMass(grams, prefix + "grams");
            return !mass.IsOk
                ? Outcome<long>.Refused(mass.Refusals)
                : mass.Value.Milligrams <= free ? mass.Value.Milligrams : NotEnough(code, grams, free);
        }

        return HoldRules.MgFor(lot, wanted.Metres!.Value, free, code, prefix + "metres");
    }

    private static Refusal NotEnough(string code, decimal grams, long free) => Refusal.Conflict("not-enough-free",
        "{0} g of lot {1} were asked for, and {2} g are free. Ask for less, or choose a second lot.", grams, code, free / 1000m);
}
