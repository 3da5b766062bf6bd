using GuildStash.Domain.Counting;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Demo;

/// <summary>The scales of the demo guild, and three counts on the evening before it is loaded: one agrees, one is booked, one asks a second person.</summary>
internal sealed class DemoCounts(DemoGuild demo, Guid coordinator, Guid volunteer, IReadOnlyList<string> bins)
{
    private static readonly DemoMoment Bought = new(365, 10 * 60);
    private static readonly DemoMoment Checked = new(40, 11 * 60);

    public async Task RunAsync(Action<string> progress, CancellationToken cancellation)
    {
        Guid bench = await ScaleAsync(new ScaleInput("Bench scale", 1, 5000, false, "On the sorting bench"), (1000, 1000), cancellation);
        await ScaleAsync(new ScaleInput("Counter scale", 2, 6000, true, "For swaps; the mark is on its foot"), (2000, 2002), cancellation);
        await ScaleAsync(new ScaleInput("Old kitchen scale", 5, 10_000, false, "Shows too much; for bags at the door only"), (1000, 1012), cancellation);
        await WholeAsync(new DemoMoment(1, 18 * 60), bins[0], bench, cancellation);
        await LotsAsync(new DemoMoment(1, (18 * 60) + 20), bins[1], bench, [0, -1, 2], cancellation);
        await LotsAsync(new DemoMoment(1, (18 * 60) + 45), bins[2], bench, [0, -38, 1], cancellation);
        progress("3 scales, 3 counts");
    }

    private async Task<Guid> ScaleAsync(ScaleInput input, (decimal Nominal, decimal Shown) check, CancellationToken cancellation)
    {
        Guid scale = await demo.DoAsync<SaveScale, Guid>(Bought, u => u.RunAsync(coordinator, null, 0, input, cancellation));
        await demo.DoAsync<CheckScale, bool>(Checked, u => u.RunAsync(coordinator, scale, check.Nominal, check.Shown, cancellation));
        return scale;
    }

    /// <summary>Weighed with its crate, a few grams off.</summary>
    private async Task WholeAsync(DemoMoment at, string code, Guid scale, CancellationToken cancellation)
    {
        const decimal Crate = 1_350;
        BinView bin = await demo.DoAsync<BinReader, BinView>(at, u => u.ByCodeAsync(volunteer, code, cancellation));
        BinInput tared = new(bin.Name, bin.Kind, bin.SiteId, bin.Place, bin.Litres, bin.Notes, Crate, 1);
        await demo.DoAsync<EditBin, BinView>(at, u => u.RunAsync(coordinator, bin.Id, bin.Version, tared, cancellation));
        Guid count = await demo.DoAsync<BeginCount, Guid>(at, u => u.RunAsync(volunteer, code, cancellation));
        bool isKnown = (await LotsOfAsync(at, code, cancellation)).All(l => l.OnHandMg is not null);
        CountHow how = new(isKnown ? CountWay.WholeBin : CountWay.LotByLot, scale, Crate + (bin.Mg / 1000m) - 7);
        await demo.DoAsync<SaveCount, bool>(at, u => u.HowAsync(volunteer, count, how, cancellation));
        if (isKnown)
        {
            await demo.DoAsync<FinishCount, CountResult>(at, u => u.RunAsync(volunteer, count, cancellation));
        }
        else
        {
            await demo.DoAsync<LeaveCount, bool>(at, u => u.RunAsync(volunteer, count, cancellation));
        }
    }

    /// <summary>Some lots, each found with so many grams more or less.</summary>
    private async Task LotsAsync(DemoMoment at, string code, Guid scale, decimal[] differences, CancellationToken cancellation)
    {
        LotView[] lots = [.. (await LotsOfAsync(at, code, cancellation)).Where(l => l is { OnHandMg: > 60_000, HeldMg: 0, Status: LotStatus.Available }).Take(differences.Length)];
        Guid count = await demo.DoAsync<BeginCount, Guid>(at, u => u.RunAsync(volunteer, code, cancellation));
        await demo.DoAsync<SaveCount, bool>(at, u => u.HowAsync(volunteer, count, new CountHow(CountWay.LotByLot, scale, null), cancellation));
        foreach ((LotView lot, decimal difference) in lots.Zip(differences))
        {
            await demo.DoAsync<SaveCount, bool>(at, u => u.LotAsync(volunteer, count, lot.Code, (lot.OnHandMg!.Value / 1000m) + difference, cancellation));
        }

        await demo.DoAsync<FinishCount, CountResult>(at, u => u.RunAsync(volunteer, count, cancellation));
    }

    private async Task<IReadOnlyList<LotView>> LotsOfAsync(DemoMoment at, string code, CancellationToken cancellation) =>
        (await demo.DoAsync<InventoryReader, PageOf<LotView>>(at, u => u.LotsAsync(
            volunteer, new LotFilter { BinCode = code }, LotOrder.ShelfOrder, new PageRequest(1, PageRequest.LargestPageSize), cancellation))).Items;
}
