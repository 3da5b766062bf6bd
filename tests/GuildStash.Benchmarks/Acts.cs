using System.Buffers.Binary;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Benchmarks;

/// <summary>The acts that are measured, each against its own statements.</summary>
internal sealed class Acts(Guild guild, Stock stock, int samples, TextWriter? explain)
{
    private long _serial = Guild.CopiesFromSerial * 10;
    private int _number;

    public async Task RunAsync(TextWriter output)
    {
        await output.WriteLineAsync(Measure.Head);
        await output.WriteLineAsync(await SaveLotAsync());
        await output.WriteLineAsync(await HoldAsync());
        foreach ((string what, LotFilter filter, LotOrder order) in Filters)
        {
            await output.WriteLineAsync(await ReadAsync("filter: " + what, () => guild.DoAsync<InventoryReader, PageOf<LotView>>((u, by) => u.LotsAsync(by, filter, order, new PageRequest(), default))));
        }

        LotFilter all = new();
        await output.WriteLineAsync(await ReadAsync("summary table", () => guild.DoAsync<InventoryReader, IReadOnlyList<SummaryRow>>((u, by) => u.SummaryAsync(by, all, default))));
        await output.WriteLineAsync(await ReadAsync("wall, 40 blocks a cell", () => guild.DoAsync<InventoryReader, IReadOnlyList<WallCell>>((u, by) => u.WallAsync(by, all, StockPart.OnShelves, 40, default))));
        await output.WriteLineAsync(await ReadAsync("wall of what is free", () => guild.DoAsync<InventoryReader, IReadOnlyList<WallCell>>((u, by) => u.WallAsync(by, all, StockPart.Free, 40, default))));
        await output.WriteLineAsync(await ReadAsync("sentence above the stock", () => guild.DoAsync<InventoryReader, StockHead>((u, by) => u.HeadAsync(by, all, default))));
    }

    private static readonly (string What, LotFilter Filter, LotOrder Order)[] Filters =
    [
        ("everything, newest first", new LotFilter(), LotOrder.Newest),
        ("colour and class, longest first", new LotFilter { ColourFamily = ColourFamily.Blue, WeightClass = WeightClass.Dk }, LotOrder.LongestFree),
        ("fibre, washable, at least 400 m", new LotFilter { Fibre = "PAN", Washable = true, MinMetres = 400 }, LotOrder.LongestFree),
        ("a word", new LotFilter { Query = "d-1999-77" }, LotOrder.Newest),
        ("two letters", new LotFilter { Query = "77" }, LotOrder.Newest),
    ];

    private async Task<string> SaveLotAsync()
    {
        Guid bag = await stock.BagAsync(90_000);
        LotView? saved = null;
        async Task Act() => saved = await guild.DoAsync<AddLot, LotView>((u, by) => u.RunAsync(by, bag, stock.NextLot(), default));
        DateTimeOffset since = DateTimeOffset.UtcNow;
        Statements statements = await Statements.OfAsync(Act, inTransaction: true);
        string recorded = saved!.Code;
        return await Measure.LineAsync("save a lot", samples, statements.Count, Act, () =>
        {
            string code = LotCode.Next(ref _serial).Value;
            return statements.SendAsync(guild.AppConnectionString, Fresh(since, v => v is string s && s == recorded ? code : v));
        });
    }

    private async Task<string> HoldAsync()
    {
        // A lot heavy enough for every hold of the run.
        Guid bag = await stock.BagAsync(30_000);
        LotView lot = await guild.DoAsync<AddLot, LotView>((u, by) => u.RunAsync(by, bag, stock.NextLot() with { Grams = 24_000 }, default));
        HoldInput input = new([new WantedYarn(lot.Code, 1, null)]);
        string recorded = "";
        async Task Act() => recorded = (await guild.DoAsync<RequestHolds, PlacedRequest>((u, by) => u.RunAsync(by, input, default))).Number;
        DateTimeOffset since = DateTimeOffset.UtcNow;
        Statements statements = await Statements.OfAsync(Act, inTransaction: true);
        string number = recorded;
        return await Measure.LineAsync("place a hold", samples, statements.Count, Act, () =>
        {
            string next = $"R-1999-{++_number}";
            return statements.SendAsync(guild.AppConnectionString, Fresh(since, v => v is string s && s == number ? next : v));
        });
    }

    private async Task<string> ReadAsync(string what, Func<Task> act)
    {
        Statements statements = await Statements.OfAsync(act, inTransaction: false);
        if (explain is not null)
        {
            await explain.WriteLineAsync("-- " + what);
            await statements.ExplainAsync(guild.AppConnectionString, explain);
        }

        return await Measure.LineAsync(what, samples, statements.Count, act, () => statements.SendAsync(guild.AppConnectionString, v => v));
    }

    /// <summary>Keys that the recorded act made get a new value each time; keys of what was there before stay. Keys tell their moment.</summary>
    private static Func<object?, object?> Fresh(DateTimeOffset since, Func<object?, object?> other)
    {
        Dictionary<Guid, Guid> made = [];
        return value => value switch
        {
            Guid id when MomentOf(id) < since => id,
            Guid id => made.TryGetValue(id, out Guid again) ? again : made[id] = Guid.CreateVersion7(),
            _ => other(value),
        };
    }

    /// <summary>The first 48 bits of a version 7 key are milliseconds since 1970 (RFC 9562).</summary>
    private static DateTimeOffset MomentOf(Guid key) =>
        DateTimeOffset.FromUnixTimeMilliseconds((long)(BinaryPrimitives.ReadUInt64BigEndian(key.ToByteArray(bigEndian: true)) >> 16));
}
