using GuildStash.Data.Ledger;
using GuildStash.Data.Stock;
using GuildStash.Domain.Codes;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Relotting;

/// <summary>The lot that an old label means: the one at the end of all merges.</summary>
internal static class LotSurvivor
{
    /// <summary>The lot into which a locked lot went, locked too; the lot itself where it was not merged.</summary>
    public static async Task<Lot> LockedAsync(Act act, Lot lot)
    {
        Lot at = lot;
        while (at.MergedIntoId is { } next)
        {
            at = (await LotLock.TakeAsync(act.Db, await EndAsync(act, next), act.Cancellation))!;
        }

        return at;
    }

    /// <summary>The code to look for when this one was typed or scanned; what is no code of a merged lot stays as it is.</summary>
    public static async Task<string?> CodeAsync(Act act, string? typed)
    {
        if (!LotCode.TryParse(typed, out LotCode code))
        {
            return typed;
        }

        string value = code.Value;
        Guid? into = await act.Db.Lots.Where(l => l.Code == value).Select(l => l.MergedIntoId).SingleOrDefaultAsync(act.Cancellation);
        if (into is not { } next)
        {
            return typed;
        }

        Guid end = await EndAsync(act, next);
        return await act.Db.Lots.Where(l => l.Id == end).Select(l => l.Code).SingleAsync(act.Cancellation);
    }

    /// <summary>Of these codes those whose lots went into others, each with the code of the lot that is left; in one question to the database.</summary>
    /// <param name="codes">Without hyphen.</param>
    public static async Task<IReadOnlyDictionary<string, string>> CodesAsync(Act act, IReadOnlyCollection<string> codes)
    {
        string[] asked = [.. codes.Distinct()];
        List<Followed> ends = await act.Db.Database.SqlQuery<Followed>(
            $"""
             with recursive way as (
                 select code as old, id, merged_into_id, code from lot where code = any({asked}) and merged_into_id is not null
                 union
                 select w.old, l.id, l.merged_into_id, l.code from lot l join way w on l.id = w.merged_into_id)
             select old, code as living from way where merged_into_id is null
             """).ToListAsync(act.Cancellation);
        return ends.ToDictionary(e => e.Old, e => e.Living);
    }

    private sealed record Followed(string Old, string Living);

    private static async Task<Guid> EndAsync(Act act, Guid lotId)
    {
        List<Guid> end = await act.Db.Database.SqlQuery<Guid>(
            $"""
             with recursive way as (
                 select id, merged_into_id from lot where id = {lotId}
                 union
                 select l.id, l.merged_into_id from lot l join way w on l.id = w.merged_into_id)
             select id as "Value" from way where merged_into_id is null
             """).ToListAsync(act.Cancellation);
        return end.Single();
    }
}
