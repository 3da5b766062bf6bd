using GuildStash.Data;
using GuildStash.Data.Intake;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>
/// Notes who sees donors' data, at the place where it is read for a person and before it is handed out: a look that can't be noted is
/// not given. The first look of a day counts for each person, donor, way and fields. Changes are noted by the database.
/// </summary>
public sealed class DonorTrail(IHttpContextAccessor requests)
{
    public const string NameOnly = "name";
    public const string NameAndContact = "name, contact";

    private DonorTrailWay Way => requests.HttpContext?.Request.Path switch
    {
        { } path when path.StartsWithSegments(GuildApi.Root) => DonorTrailWay.Api,
        { } path when path.StartsWithSegments("/print") => DonorTrailWay.Print,
        { } path when path.StartsWithSegments("/safe-keeping/export.zip") => DonorTrailWay.Export,
        _ => DonorTrailWay.Page,
    };

    /// <summary>The person saw the names of these donors.</summary>
    public async Task SawAsync(Act act, Guid[] donors, string fields)
    {
        if (donors.Length == 0)
        {
            return;
        }

        (string way, DateOnly day) = (Way.ToString(), DateOnly.FromDateTime(act.Now.UtcDateTime));
        await act.Db.Database.ExecuteSqlAsync(
            $"""
             insert into donor_trail (donor_id, person_id, at, day, kind, way, fields)
             select d.id, {act.By.Id}, {act.Now}, {day}, 'Seen', {way}, {fields}
             from donor d
             where d.id = any({donors}) and not exists (select 1 from donor_trail t
                 where t.kind = 'Seen' and t.person_id = {act.By.Id} and t.day = {day} and t.donor_id = d.id and t.way = {way} and t.fields = {fields})
             order by d.id
             on conflict do nothing
             """,
            act.Cancellation);
    }

    /// <summary>The person saw the names of these gifts' donors.</summary>
    public async Task SawOfGiftsAsync(Act act, Guid[] gifts)
    {
        if (gifts.Length > 0)
        {
            Guid[] donors = await act.Db.Donations.Where(d => gifts.Contains(d.Id) && d.DonorId != null).Select(d => d.DonorId!.Value).Distinct().ToArrayAsync(act.Cancellation);
            await SawAsync(act, donors, NameOnly);
        }
    }

    /// <summary>The person looked through a list that may name any donor: one row a day for all of them, so that the trail is not full of those who read it.</summary>
    public Task SawAnyAsync(Act act)
    {
        (string way, DateOnly day) = (Way.ToString(), DateOnly.FromDateTime(act.Now.UtcDateTime));
        return act.Db.Database.ExecuteSqlAsync(
            $"""
             insert into donor_trail (donor_id, person_id, at, day, kind, way, fields)
             select null, {act.By.Id}, {act.Now}, {day}, 'Seen', {way}, {NameOnly}
             where not exists (select 1 from donor_trail t
                 where t.kind = 'Seen' and t.person_id = {act.By.Id} and t.day = {day} and t.donor_id is null and t.way = {way} and t.fields = {NameOnly})
             """,
            act.Cancellation);
    }

    /// <summary>The person takes every donor's data along; each time counts.</summary>
    /// <returns>True, as the answer of a write.</returns>
    public async Task<bool> TookAllAsync(Act act)
    {
        await TookAllAsync(act.Db, act.By.Id, act.Now, DonorTrailWay.Export, act.Cancellation);
        return true;
    }

    /// <summary>The operator of the machine takes every donor's data along.</summary>
    public static Task TookAllByConsoleAsync(GuildDbContext db, CancellationToken cancellation) =>
        TookAllAsync(db, null, DateTimeOffset.UtcNow, DonorTrailWay.Console, cancellation);

    /// <summary>Tells the database through what the donors are changed that this transaction is about to enter or change.</summary>
    public Task SayWayAsync(Act act) =>
        act.Db.Database.ExecuteSqlAsync($"select set_config('guildstash.way', {Way.ToString()}, true)", act.Cancellation);

    private static async Task TookAllAsync(GuildDbContext db, Guid? person, DateTimeOffset now, DonorTrailWay way, CancellationToken cancellation)
    {
        db.DonorTrail.Add(new DonorTrailEntry
        {
            PersonId = person,
            At = now,
            Day = DateOnly.FromDateTime(now.UtcDateTime),
            Kind = DonorTrailKind.Seen,
            Way = way,
            Fields = NameAndContact,
        });
        await db.SaveChangesAsync(cancellation);
    }
}
