using GuildStash.Domain.Colours;
using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Demo;

/// <summary>The yarn of the demo guild on its way: gifts, lots, holds, hand-overs and returns.</summary>
internal sealed class DemoYarnFlow(
    DemoGuild demo, DemoScenario scenario, Dictionary<Role, List<Guid>> people, IReadOnlyList<string> bins, IReadOnlyList<Guid> projects, DateOnly today)
{
    private const int Bags = 20;
    private const int LotsPerBag = 11;

    /// <summary>Fixed, so that every demo guild has the same yarn.</summary>
    private readonly Random _random = new(20261125);

    private readonly List<LotView> _free = [];

    public async Task RunAsync(Action<string> progress, CancellationToken cancellation)
    {
        int lots = 0;
        for (int number = 0; number < Bags; number++)
        {
            lots += await GiftAsync(number, cancellation);
        }

        progress($"{Bags} bags, {lots} lots");
        await DeskAsync(cancellation);
        progress("holds, hand-overs and returns");
    }

    private Guid Volunteer => people[Role.Volunteer][_random.Next(people[Role.Volunteer].Count)];

    private Guid Member => people[Role.Member][_random.Next(people[Role.Member].Count)];

    private async Task<int> GiftAsync(int number, CancellationToken cancellation)
    {
        // The last bags are left to do: one shut for insects, one damp in quarantine, two to sort.
        string[] conditions = number switch
        {
            16 => ["insects"],
            17 => ["damp"],
            4 or 9 => ["smoke"],
            11 => ["petHair"],
            13 => ["mothball"],
            _ => [],
        };
        // Every third donor wished no name; a donor who comes again is the known one.
        DemoDonor? donor = number % 3 == 2 ? null : scenario.Donors[(number - (number / 3)) % scenario.Donors.Count];
        IReadOnlyList<DonorChoice> known = donor is null ? [] : await demo.DoAsync<GiftReader, IReadOnlyList<DonorChoice>>(u => u.DonorsAsync(Volunteer, donor.Name, cancellation));
        List<LotInput> lots = number >= 16 ? [] : [.. Enumerable.Range(0, LotsPerBag + _random.Next(5)).Select(_ => NextLot())];
        decimal net = number >= 16 ? 900 + (100 * _random.Next(15)) : lots.Sum(l => l.Grams ?? 60) + _random.Next(8, 60);
        LoggedGift gift = await demo.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(Volunteer, new GiftInput
        {
            Kind = number % 7 == 6 ? IntakeKind.Swap : IntakeKind.Donation,
            DonorId = known.Count > 0 ? known[0].Id : null,
            DonorName = known.Count > 0 ? null : donor?.Name,
            DonorContact = known.Count > 0 ? null : donor?.Contact,
            ReceivedOn = today.AddDays(-2 * (Bags - number)),
            Wishes = scenario.Wishes[number % scenario.Wishes.Count],
            Bags = [new BagInput(net + 40, 40, conditions)],
        }, cancellation));
        Guid bag = gift.Bags[0].Id;
        foreach (LotInput lot in lots)
        {
            _free.Add(await demo.DoAsync<AddLot, LotView>(u => u.RunAsync(Volunteer, bag, lot, cancellation)));
        }

        bool unweighed = lots.Any(l => l.MassUnknown);
        if (number < 14 && !unweighed)
        {
            await demo.DoAsync<CloseBag, ClosedBag>(u => u.RunAsync(Volunteer, bag, cancellation));
        }

        return lots.Count;
    }

    private LotInput NextLot()
    {
        DemoYarn yarn = scenario.Yarns[_random.Next(scenario.Yarns.Count)];
        string hex = Shade(scenario.Colours[_random.Next(scenario.Colours.Count)]);
        int evidence = _random.Next(10);
        bool onCone = _random.Next(25) == 0;
        bool whole = evidence < 3;
        bool unweighed = _random.Next(40) == 0;
        decimal grams = whole ? 50 * _random.Next(1, 5) : _random.Next(12, 240);
        bool banded = evidence < 3;
        return new LotInput
        {
            Grams = unweighed ? null : grams,
            MassUnknown = unweighed,
            ScaleDivisionGrams = unweighed ? null : 1,
            PutUp = onCone ? PutUp.Cone : (PutUp)_random.Next(4),
            CoreTareGrams = onCone && !unweighed && grams > 40 ? 20 : null,
            Count = whole ? (int)(grams / 50) : 1,
            WeightClass = evidence == 9 ? yarn.Class : null,
            Wraps = banded || evidence == 9 ? null : new WrapsInput(2 * _random.Next(yarn.Wraps[0], yarn.Wraps[1] + 1), 2),
            Band = banded ? new BandInput(yarn.MetresPer50, 50) : null,
            Fibres = [.. yarn.Fibres.Select(f => new FibreInput(f[0].GetString(), banded ? f[1].GetDecimal() : null))],
            FibreBasis = banded ? FibreBasis.BandSeen : FibreBasis.VolunteerJudged,
            MachineWashable = yarn.Washable,
            Softness = (Softness)_random.Next(4),
            ColourHex = hex,
            DyeLot = banded && _random.Next(2) == 0 ? _random.Next(1000, 9999).ToString(System.Globalization.CultureInfo.InvariantCulture) : null,
            BinCode = onCone ? bins[8] : BinFor(yarn.Class, hex),
        };
    }

    private string Shade(string hex)
    {
        Colour colour = Colour.Parse(hex).Value;
        byte Near(byte channel) => (byte)Math.Clamp(channel + _random.Next(-14, 15), 0, 255);
        return new Colour(Near(colour.Red), Near(colour.Green), Near(colour.Blue)).Hex;
    }

    private string BinFor(WeightClass weight, string hex)
    {
        ColourFamily family = ColourNames.Describe(Colour.Parse(hex).Value).Family;
        int cool = family is ColourFamily.Green or ColourFamily.Teal or ColourFamily.Blue or ColourFamily.Purple or ColourFamily.Grey or ColourFamily.Black ? 1 : 0;
        return bins[weight switch
        {
            WeightClass.Lace or WeightClass.Fingering => 0 + cool,
            WeightClass.Sport => 2,
            WeightClass.Dk => 3 + cool,
            WeightClass.Worsted or WeightClass.Aran or WeightClass.Medium => 5 + cool,
            _ => 7,
        }];
    }

    private async Task DeskAsync(CancellationToken cancellation)
    {
        List<LotView> weighed = [.. _free.Where(l => l.Status == LotStatus.Available && l.FreeMg >= 60_000)];
        for (int i = 0; i < 24; i++)
        {
            LotView lot = weighed[(i * 7) % weighed.Count];
            decimal grams = Math.Floor(lot.FreeMg / 2000m);
            Guid? project = projects[1];
            Guid member = i % 4 == 0 ? people[Role.Member][0] : Member;
            PlacedRequest request = await demo.DoAsync<RequestHolds, PlacedRequest>(u => u.RunAsync(member,
                new HoldInput([new WantedYarn(lot.Code, grams, null)], i % 3 == 0 ? null : project), cancellation));
            if (i < 10)
            {
                continue;
            }

            HandedOver taken = await demo.DoAsync<HandOverYarn, HandedOver>(u => u.RunAsync(Volunteer, new HandOverInput(request.Holds[0].Id, Grams: grams), cancellation));
            if (i >= 16)
            {
                IReadOnlyList<string>? looked = i >= 21 ? null : [];
                await demo.DoAsync<TakeBack, TakenBack>(u => u.RunAsync(Volunteer, taken.Id, new ReturnInput(Math.Max(1, Math.Floor(grams / 4)), looked, IsAll: i % 2 == 0), cancellation));
            }
        }
    }
}
