using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Yardage;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Demo;

/// <summary>A planned lot.</summary>
/// <param name="SortedDaysAgo">The day on which it came out of its bag.</param>
internal sealed record DemoLot(LotInput Input, Conditions Conditions, int SortedDaysAgo)
{
    public decimal NetGrams => (Input.Grams ?? 0) - (Input.CoreTareGrams ?? 0);

    public LotTraits Traits => new(
        FibreContent.Create(Input.Fibres.Select(f => new FibreShare(f.Code ?? "", f.Percent))).Value,
        Input.MachineWashable, Conditions, Input.Texture == Texture.Metallic, Input.Softness);
}

/// <summary>Plans what happens at the desk: holds that are taken, cancelled or forgotten, yarn at home, late yarn, and leftovers.</summary>
internal sealed class DemoDesk(DemoScenario scenario, Random random, List<int> volunteers, IReadOnlyList<DemoLot> lots)
{
    private const int Requests = 120;
    private const int FirstDaysAgo = 345;
    private const double DaysBetween = 2.85;
    private const int LateCheckouts = 2;

    /// <summary>Days for which the guild lends yarn and keeps a hold, as its settings say at first.</summary>
    private const int LoanDays = 60;
    private const int HoldDays = 14;
    private const int StillWaiting = 20;

    private readonly List<int> _members = [.. Enumerable.Range(0, scenario.Accounts.Count).Where(i => scenario.Accounts[i].Role == Role.Member)];
    private readonly HashSet<int> _used = [];
    private readonly List<DemoStep> _steps = [];
    private int _takings;
    private int _late;

    /// <summary>Lots that somebody asks for.</summary>
    public IReadOnlySet<int> Used => _used;

    private int Volunteer => volunteers[random.Next(volunteers.Count)];

    public IReadOnlyList<DemoStep> Steps()
    {
        for (int request = 0; request < Requests; request++)
        {
            // The first member of the list is the one whose account visitors try: she has something of everything.
            int member = request % 5 == 0 ? _members[0] : _members[random.Next(_members.Count)];
            Plan(request, member, new DemoMoment(FirstDaysAgo - (int)(DaysBetween * request), (10 * 60) + random.Next(120)));
        }

        return _steps;
    }

    private void Plan(int request, int member, DemoMoment at)
    {
        int? project = ProjectAt(at.DaysAgo);
        List<DemoPart> parts = Parts(request, at, project);
        if (parts.Count == 0)
        {
            return;
        }

        bool waits = at.DaysAgo < HoldDays - 1;
        if (request % 10 == 2 && !waits)
        {
            HandOver(request, member, new HandOverLotStep(at, Volunteer, _takings++, member, parts[0]), parts[0].Grams);
            return;
        }

        bool forgotten = request % 10 == 3;
        _steps.Add(new ReserveStep(at, member, request, parts, project, waits || forgotten ? null : at.DaysAgo + HoldDays));
        if (waits || forgotten)
        {
            return;
        }

        DemoMoment then = new(at.DaysAgo - 2, (14 * 60) + random.Next(120));
        for (int line = 0; line < parts.Count; line++)
        {
            if (request % 10 == 4)
            {
                _steps.Add(new CancelHoldStep(then, member, request, line));
                continue;
            }

            HandOver(request, member, new HandOverHoldStep(then, Volunteer, _takings++, request, line), parts[line].Grams);
        }
    }

    private void HandOver(int request, int member, DemoStep handOver, decimal grams)
    {
        _steps.Add(handOver);
        int taking = _takings - 1;
        int day = handOver.At.DaysAgo;
        if (day is > LoanDays + 3 and < LoanDays + 30 && _late < LateCheckouts)
        {
            _late++;
            return;
        }

        // Of the yarn that is not due yet, two of three are still at home.
        int back = day - 8 - random.Next(40);
        if (back < 1 || (day <= LoanDays && request % 3 != 0))
        {
            if (day > LoanDays)
            {
                _steps.Add(new UseUpStep(new DemoMoment(day - 3, 18 * 60), member, taking));
            }

            return;
        }

        DemoMoment then = new(back, (14 * 60) + random.Next(120));
        decimal rest = Math.Floor(grams / 4);
        if (request % 2 == 0 && rest >= 1)
        {
            // What came back in the last days still waits for somebody to look at it.
            bool looked = request % 4 == 0 && back > StillWaiting;
            _steps.Add(new TakeBackStep(then, Volunteer, taking, rest, looked));
            if (!looked && back > StillWaiting)
            {
                _steps.Add(new InspectReturnStep(new DemoMoment(back - 1, 9 * 60), Volunteer, taking, "Looked through in daylight, nothing found."));
            }
        }
        else
        {
            _steps.Add(new UseUpStep(then, member, taking));
        }
    }

    private int? ProjectAt(int daysAgo)
    {
        List<int> running = [.. Enumerable.Range(0, scenario.Projects.Count)
            .Where(i => scenario.Projects[i].StartedDaysAgo > daysAgo && (scenario.Projects[i].ClosedDaysAgo ?? 0) < daysAgo - 3)];
        int pick = random.Next(running.Count + 1);
        return pick == running.Count ? null : running[pick];
    }

    /// <summary>One to three lots that lay in the room on that day and that the project may use; no lot is asked for twice.</summary>
    private List<DemoPart> Parts(int request, DemoMoment at, int? project)
    {
        RecipientRules rules = project is { } p ? scenario.Projects[p].AllRules : RecipientRules.None;
        List<int> fit = [.. Enumerable.Range(0, lots.Count).Where(i =>
            lots[i].SortedDaysAgo > at.DaysAgo && lots[i].NetGrams >= 40 && !_used.Contains(i)
            && RecipientRuleBook.Check(rules, lots[i].Traits, "", "").Count == 0)];
        List<DemoPart> parts = [];
        int wanted = request % 4 == 0 ? 3 : request % 4 == 1 ? 2 : 1;
        while (parts.Count < wanted && fit.Count > 0)
        {
            int lot = fit[random.Next(fit.Count)];
            fit.Remove(lot);
            _used.Add(lot);
            decimal grams = lots[lot].NetGrams;
            parts.Add(new DemoPart(lot, request % 4 == 3 ? grams : Math.Floor(grams * (30 + random.Next(50)) / 100)));
        }

        return parts;
    }
}
