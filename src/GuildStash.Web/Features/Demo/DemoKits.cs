using GuildStash.Domain.Projects;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Demo;

/// <summary>Kits of the demo guild in each state, and what members made over the year.</summary>
internal sealed class DemoKits(DemoGuild demo, Guid volunteer, IReadOnlyList<Guid> members)
{
    private const int KitsOfAProject = 6;

    /// <summary>A lot is this much longer than what the kit takes of it, so that the scale may show a little more.</summary>
    private const double Room = 1.1;

    private const int LastRecordDaysAgo = 20;

    /// <summary>What came in so long ago is sorted.</summary>
    private const int SortedWithinDays = 30;

    /// <summary>The evening before the demo is loaded, after its counts: what moves yarn comes last, so that the books are in the order of time.</summary>
    private const int EveningMinute = 19 * 60;

    private readonly List<LotView> _lots = [];
    private int _evening;
    private int _kits;
    private int _records;

    public async Task RunAsync(Action<string> progress, CancellationToken cancellation)
    {
        DemoMoment start = new(120, 11 * 60);
        List<KitChoice> choices = await demo.DoAsync<KitChoiceReader, List<KitChoice>>(start, u => u.RunAsync(volunteer, cancellation));
        foreach ((KitChoice choice, int i) in choices.DistinctBy(c => c.ProjectId).Take(2).Select((c, i) => (c, i)))
        {
            await FindLotsAsync(start, choice, cancellation);
            await KitsAsync(choice, i, cancellation);
        }

        foreach ((KitChoice choice, int i) in choices.Select((c, i) => (c, i)))
        {
            await RecordsAsync(choice, i, cancellation);
        }

        progress($"{_kits} kits, {_records} records of pieces");
    }

    /// <summary>Lots that were there by then, fit a part of the piece and may go to the project.</summary>
    private async Task FindLotsAsync(DemoMoment at, KitChoice choice, CancellationToken cancellation)
    {
        _lots.Clear();
        DateOnly before = demo.Today.AddDays(-at.DaysAgo - SortedWithinDays);
        PageOf<LotView> free = await demo.DoAsync<InventoryReader, PageOf<LotView>>(at, u => u.LotsAsync(
            volunteer, new LotFilter(), LotOrder.Oldest, new PageRequest(1, PageRequest.LargestPageSize), cancellation));
        foreach (LotView[] some in free.Items.Where(l => l is { Status: LotStatus.Available, HeldMg: 0 } && l.ReceivedOn < before && choice.Parts.Any(part => Fits(l, part))).Chunk(RequestHolds.MostLots))
        {
            PreviewedRequest seen = await demo.DoAsync<HoldPreview, PreviewedRequest>(at, u => u.RunAsync(
                volunteer, [.. some.Select(l => new WantedYarn(l.Code, 1, null))], choice.ProjectId, cancellation));
            some.Zip(seen.Lots).Where(l => l.Second.Refusals.Count == 0).ToList().ForEach(l => _lots.Add(l.First));
        }
    }

    /// <summary>Two are done, one is at home, one is packed, two are to pack; with few lots only the first of these.</summary>
    private async Task KitsAsync(KitChoice choice, int project, CancellationToken cancellation)
    {
        for (int i = 0; i < KitsOfAProject && Yarn(choice) is { } yarn; i++)
        {
            DemoMoment made = new(100 - (16 * i), (11 * 60) + (20 * project));
            Guid? member = i < 3 ? members[(i + project) % members.Count] : null;
            MadeKit kit = await demo.DoAsync<MakeKit, MadeKit>(made, u => u.RunAsync(volunteer, new KitInput(choice.WantedPieceId, null, 1, yarn, member, null, made.DaysAgo + 14 + (7 * i)), cancellation));
            _kits++;
            if (i < 4)
            {
                await WeighAsync(made, kit.Number, cancellation);
            }

            if (i < 3)
            {
                await demo.DoAsync<HandOverKit, int>(Evening(), u => u.RunAsync(volunteer, kit.Id, new KitHandOverInput(null, new Dictionary<Guid, decimal?>()), null, cancellation));
            }

            if (i < 2)
            {
                await FinishAsync(Evening(), kit, 9 + (7 * i), cancellation);
            }
        }
    }

    /// <summary>For each part one lot of a class that it takes and long enough for one piece, no two of a colour; null where there is none left.</summary>
    private KitYarn[]? Yarn(KitChoice choice)
    {
        List<KitYarn> yarn = [];
        List<LotView> taken = [];
        foreach (KitPartChoice part in choice.Parts)
        {
            LotView? lot = _lots.Find(l => Fits(l, part) && taken.TrueForAll(t => t.ColourFamily != l.ColourFamily));
            if (lot is null)
            {
                return null;
            }

            _lots.Remove(lot);
            taken.Add(lot);
            yarn.Add(new(lot.Code, part.Name, null, part.Metres));
        }

        return yarn.Count == 0 ? null : [.. yarn];
    }

    private static bool Fits(LotView lot, KitPartChoice part) => lot.WeightClass is { } own && part.WeightClasses.Contains(own) && lot.MetresLow >= part.Metres * Room;

    private async Task WeighAsync(DemoMoment at, string number, CancellationToken cancellation)
    {
        KitView kit = await demo.DoAsync<KitReader, KitView>(at, u => u.OneAsync(volunteer, number, cancellation));
        foreach (KitLineView line in kit.Lines)
        {
            await demo.DoAsync<WeighKitLine, WeighedLine>(Later(at, 1), u => u.RunAsync(volunteer, line.Id, Math.Ceiling(line.PlannedMg / 1000m), null, cancellation));
        }
    }

    private async Task FinishAsync(DemoMoment at, MadeKit kit, decimal left, CancellationToken cancellation)
    {
        KitView home = await demo.DoAsync<KitReader, KitView>(at, u => u.OneAsync(volunteer, kit.Number, cancellation));
        FinishInput input = new(1, null, new Dictionary<Guid, decimal?> { [home.Lines[0].Id] = left }, [], NothingLeft: true);
        await demo.DoAsync<FinishKit, FinishedKit>(at, u => u.RunAsync(volunteer, kit.Id, input, null, cancellation));
        _records++;
    }

    /// <summary>About a third of what is wanted was made over the year from members' own yarn, and most of it was handed on.</summary>
    private async Task RecordsAsync(KitChoice choice, int place, CancellationToken cancellation)
    {
        int each = Math.Max(1, choice.Wanted / 18);
        for (int i = 0; i < 6; i++)
        {
            DemoMoment at = new(330 - (50 * i) - (place % 20), (14 * 60) + place);
            await RecordAsync(at, new PiecesInput(choice.WantedPieceId, PieceStep.Finished, each, MakerId: members[(i + place) % members.Count]), cancellation);
            if (i % 2 == 1)
            {
                DemoMoment later = new(Math.Max(LastRecordDaysAgo, at.DaysAgo - 12), at.Minute);
                await RecordAsync(later, new PiecesInput(choice.WantedPieceId, PieceStep.Delivered, i == 5 ? each : 2 * each), cancellation);
            }
        }
    }

    private async Task RecordAsync(DemoMoment at, PiecesInput input, CancellationToken cancellation)
    {
        await demo.DoAsync<RecordPieces, RecordedPieces>(at, u => u.RunAsync(volunteer, input, cancellation));
        _records++;
    }

    private DemoMoment Evening() => new(1, EveningMinute + (4 * _evening++));

    private static DemoMoment Later(DemoMoment at, int days) => new(at.DaysAgo - days, at.Minute + 30);
}
