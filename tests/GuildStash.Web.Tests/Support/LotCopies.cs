using GuildStash.Data;
using GuildStash.Domain.Codes;
using GuildStash.Web.Features.Inventory;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Support;

/// <summary>Many lots at once, for lists that are long.</summary>
internal static class LotCopies
{
    /// <summary>Copies with keys and codes of their own, without movements: the books don't know them.</summary>
    public static async Task OfAsync(GuildRoom room, LotView lot, int copies)
    {
        long serial = 1_000_000;
        string[] codes = [.. Enumerable.Range(0, copies).Select(_ => LotCode.Next(ref serial).Value)];
        Guid[] ids = [.. codes.Select(_ => Guid.CreateVersion7())];
        await using GuildDbContext db = room.Look();
        // Ten thousand rows in all their indexes take longer than a question may where the machine is busy.
        db.Database.SetCommandTimeout(TimeSpan.FromMinutes(5));
        string columns = await db.Database.SqlQuery<string>(
            $"""
             select string_agg(column_name, ', ') as "Value" from information_schema.columns
             where table_schema = 'public' and table_name = 'lot' and is_generated = 'NEVER' and column_name not in ('id', 'code')
             """).SingleAsync(GuildRoom.Cancellation);
        string insert =
            $$"""
              insert into lot (id, code, {{columns}}) select t.fresh_id, t.fresh_code, {{columns}}
              from lot l, unnest({0}, {1}) t (fresh_id, fresh_code) where l.id = {2}
              """;
        Assert.Equal(copies, await db.Database.ExecuteSqlRawAsync(insert, [ids, codes, lot.Id], GuildRoom.Cancellation));
    }
}
