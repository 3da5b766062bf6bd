using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Demo;

/// <summary>
/// The year of the demo guild, step by step in the order of time. It is made from the scenario and a fixed seed alone, so that every
/// demo guild is the same; only its dates are counted back from the day of loading.
/// </summary>
public sealed class DemoPlan
{
    private const int Seed = 20261125;
    private const int Gifts = 48;
    private const int Lots = 1200;

    /// <summary>What a bag has for a lot that was left for the scale.</summary>
    private const int UnweighedGrams = 60;

    private const int FirstGiftDaysAgo = 358;
    private const double DaysBetweenGifts = 7.55;

    // What is out of the ordinary, by number of the gift.
    private const int DriedGift = 10;
    private const int InfestedGift = 20;
    private const int PassedOnGift = 26;
    private const int UnsortedGift = 44;
    private const int HalfSortedGift = 45;
    private const int DampGift = 46;
    private const int ShutGift = 47;

    private readonly DemoScenario _scenario;
    private readonly Random _random = new(Seed);
    private readonly DemoYarnMaker _maker;
    private readonly List<int> _volunteers;
    private readonly List<DemoStep> _steps = [];
    private readonly List<DemoLot> _lots = [];
    private int _bags;
    private int _sortedBags;

    private DemoPlan(DemoScenario scenario)
    {
        _scenario = scenario;
        _maker = new DemoYarnMaker(scenario, _random);
        _volunteers = [.. Enumerable.Range(0, scenario.Accounts.Count).Where(i => scenario.Accounts[i].Role == Role.Volunteer)];
    }

    internal IReadOnlyList<DemoStep> Steps { get; private set; } = [];

    /// <summary>Hash over every step: two plans with the same one are the same.</summary>
    public string Fingerprint
    {
        get
        {
            StringBuilder text = new();
            foreach (DemoStep step in Steps)
            {
                text.Append(step.GetType().Name).AppendLine(JsonSerializer.Serialize(step, step.GetType()));
            }

            return Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text.ToString())));
        }
    }

    public static DemoPlan Make(DemoScenario scenario)
    {
        DemoPlan plan = new(scenario);
        plan.AddProjects();
        int sorted = Enumerable.Range(0, Gifts).Sum(g => Enumerable.Range(0, BagsOf(g)).Count(b => IsSorted(g, b)));
        for (int gift = 0; gift < Gifts; gift++)
        {
            plan.AddGift(gift, sorted);
        }

        DemoDesk desk = new(scenario, plan._random, plan._volunteers, plan._lots);
        plan._steps.AddRange(desk.Steps());
        plan.AddSecondLooks(desk.Used);
        plan.AddRelotting();

        // Stable, so that steps of the same minute stay in the order in which they were planned.
        plan.Steps = [.. plan._steps.OrderBy(s => s.At)];
        return plan;
    }

    private static int BagsOf(int gift) => gift % 4 == 1 ? 2 : 1;

    private static bool IsSorted(int gift, int bag) =>
        gift is not (InfestedGift or PassedOnGift or UnsortedGift or DampGift or ShutGift) && (gift != HalfSortedGift || bag == 0);

    private static string[] ConditionsOf(int gift) => gift switch
    {
        DriedGift or DampGift => ["damp"],
        InfestedGift or ShutGift => ["insects"],
        4 or 9 or 27 => ["smoke"],
        11 or 33 => ["petHair"],
        13 => ["mothball"],
        30 => ["perfume"],
        _ => [],
    };

    private int Volunteer => _volunteers[_random.Next(_volunteers.Count)];

    private void AddProjects()
    {
        int coordinator = Enumerable.Range(0, _scenario.Accounts.Count).First(i => _scenario.Accounts[i].Role == Role.Coordinator);
        for (int i = 0; i < _scenario.Projects.Count; i++)
        {
            _steps.Add(new StartProjectStep(new DemoMoment(_scenario.Projects[i].StartedDaysAgo, 9 * 60), coordinator, i));
            if (_scenario.Projects[i].ClosedDaysAgo is { } closed)
            {
                _steps.Add(new CloseProjectStep(new DemoMoment(closed, 18 * 60), coordinator, i));
            }
        }
    }

    private void AddGift(int gift, int sortedBags)
    {
        DemoMoment at = new(FirstGiftDaysAgo - (int)(DaysBetweenGifts * gift), (10 * 60) + _random.Next(110));
        List<List<(LotInput Lot, int? Bin)>> contents = [.. Enumerable.Range(0, BagsOf(gift)).Select(bag => IsSorted(gift, bag) ? Contents(_sortedBags++, sortedBags) : [])];

        // Every eighth donor wished no name; the last of the list of donors are followed by those who come again.
        int? donor = gift % 8 == 7 ? null : (gift - (gift / 8)) % _scenario.Donors.Count;
        bool passedOn = gift == PassedOnGift;
        _steps.Add(new LogGiftStep(at, Volunteer, _bags, donor, new GiftInput
        {
            Kind = gift % 7 == 6 ? IntakeKind.Swap : IntakeKind.Donation,
            Decision = passedOn ? IntakeDecision.PassedOn : IntakeDecision.Accepted,
            DecisionReason = passedOn ? "Carpet yarn, too coarse for what we make; the weavers wanted it." : null,
            Wishes = _scenario.Wishes[gift % _scenario.Wishes.Count],
            Bags = [.. contents.Select(c => new BagInput(Net(c) + 40, 40, ConditionsOf(gift)))],
        }));
        for (int bag = 0; bag < contents.Count; bag++)
        {
            AddBag(gift, at.DaysAgo - 1 - bag, _bags++, contents[bag]);
        }
    }

    private List<(LotInput Lot, int? Bin)> Contents(int bag, int of)
    {
        // Pairs of a fuller and an emptier bag, so that all together have the number wanted.
        int extra = bag / 2 * 5 % 8 * (bag % 2 == 0 ? 1 : -1);
        int count = (Lots * (bag + 1) / of) - (Lots * bag / of) + extra;
        return [.. Enumerable.Range(0, count).Select(_ => _maker.Next(mayBeUnweighed: true))];
    }

    private decimal Net(List<(LotInput Lot, int? Bin)> contents) =>
        contents.Count == 0 ? 900 + (100 * _random.Next(15)) : contents.Sum(c => c.Lot.Grams ?? UnweighedGrams) + _random.Next(8, 60);

    private void AddBag(int gift, int day, int bag, List<(LotInput Lot, int? Bin)> contents)
    {
        if (gift == InfestedGift)
        {
            _steps.Add(new DiscardBagStep(new DemoMoment(day, 9 * 60), Volunteer, bag, "Webbing and live larvae under the first layer; sealed and taken away the same day."));
        }

        if (gift == DriedGift)
        {
            day -= 21;
            int inspects = Volunteer;
            _steps.Add(new ReleaseBagStep(new DemoMoment(day, 9 * 60), inspects, _volunteers.First(v => v != inspects), bag, "Dried apart for three weeks; no mould seen or smelled."));
        }

        if (contents.Count == 0)
        {
            return;
        }

        int by = Volunteer;
        Conditions conditions = ConditionRules.FromKeys(ConditionsOf(gift)).Value;
        List<int> unweighed = [];
        for (int i = 0; i < contents.Count; i++)
        {
            (LotInput lot, int? bin) = contents[i];
            _steps.Add(new AddLotStep(new DemoMoment(day, (13 * 60) + (4 * i)), by, bag, _lots.Count, bin, lot));
            if (lot.MassUnknown)
            {
                unweighed.Add(_lots.Count);
            }

            _lots.Add(new DemoLot(lot, conditions, day));
        }

        CloseBag(gift, day, bag, by, unweighed);
    }

    /// <summary>A lot that nobody asks for goes through a freezer that was not cold enough; a write-off of another waits for a second person.</summary>
    private void AddSecondLooks(IReadOnlySet<int> used)
    {
        List<int> free = [.. Enumerable.Range(0, _lots.Count).Where(i => !used.Contains(i) && _lots[i].SortedDaysAgo > 30 && !ConditionRules.StaysShut(_lots[i].Conditions))];
        int woolly = free.First(i => _lots[i].NetGrams > 0 && _lots[i].Traits.Fibres.HasWool);
        int spoilt = free.First(i => i != woolly && _lots[i].NetGrams >= 70);
        (int first, int second) = (_volunteers[0], _volunteers[^1]);
        _steps.Add(new QuarantineLotStep(new DemoMoment(12, 11 * 60), first, woolly, "Lay beside a bag in which larvae were found."));
        _steps.Add(new FreezeStep(new DemoMoment(11, 10 * 60), first, woolly, "chest freezer in the cellar"));
        _steps.Add(new FinishFreezingStep(new DemoMoment(2, 16 * 60), second, new DemoMoment(3, 10 * 60), -22.1m, -18.4m, "Nothing seen in daylight and over white paper; the freezer was not cold enough all the time."));
        _steps.Add(new WriteOffStep(new DemoMoment(1, 15 * 60), second, spoilt, 60, "Felted: it got wet on the windowsill."));
    }

    /// <summary>Of a lot from which somebody took yarn home, a part becomes a lot of its own for the second table; half of it is merged back later.</summary>
    private void AddRelotting()
    {
        (int first, int second) = (_volunteers[0], _volunteers[^1]);
        HandOverHoldStep? taken = null;
        int lot = -1;
        foreach (HandOverHoldStep step in _steps.OfType<HandOverHoldStep>().Where(s => s.At.DaysAgo > 60))
        {
            DemoPart part = _steps.OfType<ReserveStep>().Single(r => r.Request == step.Request).Parts[step.Line];
            if (_lots[part.Lot].NetGrams - part.Grams >= 60 && _lots[part.Lot].Input.ColourHex is not null && _steps.OfType<TakeBackStep>().Any(b => b.Taking == step.Taking && b.Looked))
            {
                (taken, lot) = (step, part.Lot);
                break;
            }
        }

        if (taken is null)
        {
            return;
        }

        (int left, int merged) = (_lots.Count, _lots.Count + 1);
        _steps.Add(new SplitLotStep(new DemoMoment(9, 10 * 60), first, lot, left, 25, "For the learners' table."));
        _steps.Add(new SplitLotStep(new DemoMoment(8, 10 * 60), first, lot, merged, 15, "Swatches."));
        _steps.Add(new MergeLotsStep(new DemoMoment(4, 11 * 60), first, second, left, merged, "Both lie in the learners' basket."));
    }

    /// <summary>What was left for the scale is weighed the next day, and is no more than its bag has for it; in the newest bags it still waits.</summary>
    private void CloseBag(int gift, int day, int bag, int by, List<int> unweighed)
    {
        bool waits = gift >= 40 && unweighed.Count > 0;
        if (gift == HalfSortedGift || waits)
        {
            return;
        }

        for (int i = 0; i < unweighed.Count; i++)
        {
            _steps.Add(new WeighLotStep(new DemoMoment(day - 1, (9 * 60) + i), by, unweighed[i], _random.Next(15, UnweighedGrams + 1)));
        }

        _steps.Add(new CloseBagStep(unweighed.Count > 0 ? new DemoMoment(day - 1, 10 * 60) : new DemoMoment(day, 17 * 60), by, bag));
    }
}
