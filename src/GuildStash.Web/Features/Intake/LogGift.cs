using GuildStash.Data.Guild;
using GuildStash.Data.Intake;
using GuildStash.Data.Ledger;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Ledger;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Intake;

/// <summary>One bag as weighed at the door.</summary>
/// <param name="GrossGrams">Bag with yarn, greater than the tare, at most 100 kg.</param>
/// <param name="TareGrams">Empty bag, 0 where it was not weighed.</param>
public sealed record BagInput(decimal? GrossGrams, decimal? TareGrams, IReadOnlyList<string>? Conditions);

/// <summary>A gift as the volunteer at the door enters it.</summary>
public sealed record GiftInput
{
    public IntakeKind Kind { get; init; }

    public IntakeDecision Decision { get; init; }

    /// <summary>Needed for everything but an accepted gift.</summary>
    public string? DecisionReason { get; init; }

    /// <summary>A known donor; leave empty together with the name for a donor who wished no name.</summary>
    public Guid? DonorId { get; init; }

    public string? DonorName { get; init; }

    public string? DonorContact { get; init; }

    /// <summary>Day in the guild's zone; today when empty.</summary>
    public DateOnly? ReceivedOn { get; init; }

    public string? Wishes { get; init; }

    public string? Notes { get; init; }

    public IReadOnlyList<BagInput> Bags { get; init; } = [];
}

public sealed record LoggedBag(Guid Id, int Ordinal, string Number, long NetMg, QuarantineReason? QuarantineReason, bool StaysShut);

public sealed record LoggedGift(Guid Id, string Number, IReadOnlyList<LoggedBag> Bags);

/// <summary>Logs a gift with its bags and books each bag's mass from the donor.</summary>
public sealed class LogGift(GuildWork work, DonorTrail trail)
{
    public const int MostBags = 50;

    public Task<Outcome<LoggedGift>> RunAsync(Guid by, GiftInput input, CancellationToken cancellation) =>
        RunAsync(by, input, null, cancellation);

    /// <param name="draftOf">The form whose draft this submits.</param>
    public Task<Outcome<LoggedGift>> RunAsync(Guid by, GiftInput input, string? draftOf, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => LogAsync(act, input, draftOf), cancellation);

    private async Task<Outcome<LoggedGift>> LogAsync(Act act, GiftInput input, string? draftOf)
    {
        GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
        DateOnly today = GuildClock.Today(guild, act.Now);
        Check check = new();
        (Donation donation, IReadOnlyList<Bag> bags) = ReadFields(input, guild.QuarantinePolicy, check);
        donation.ReceivedOn = input.ReceivedOn ?? today;
        (donation.CreatedAt, donation.CreatedById) = (act.Now, act.By.Id);
        (donation.ChangedAt, donation.ChangedById) = (act.Now, act.By.Id);
        check.That(donation.ReceivedOn <= today.AddDays(1), "receivedOn", "{0} is in the future. Enter the day on which the gift came in.", donation.ReceivedOn);
        check.That(donation.ReceivedOn >= today.AddYears(-20), "receivedOn", "{0} is more than 20 years ago. Enter the day on which the gift came in.", donation.ReceivedOn);
        donation.DonorId = await DonorAsync(act, input, check);
        if (check.Failed)
        {
            return check.Refuse<LoggedGift>();
        }

        await trail.SayWayAsync(act);
        donation.Number = Numbers.Format('D', today.Year, await Numbers.NextAsync(act.Db, Numbers.Donations, today.Year, act.Cancellation));
        act.Db.Donations.Add(donation);
        foreach (Bag bag in bags)
        {
            bag.DonationId = donation.Id;
            bag.QuarantinedAt = bag.QuarantineReason is null ? null : act.Now;
            donation.Bags.Add(bag);
        }

        await act.Db.SaveChangesAsync(act.Cancellation);
        await BookAsync(act, donation);
        await Drafts.SubmittedDraft.ForgetAsync(act, draftOf);
        return new LoggedGift(donation.Id, donation.Number, [.. bags.Select(b => ToLogged(donation, b))]);
    }

    /// <summary>What can be read without the guild's books. The form asks it as well, so that a person sees all that is wrong at once.</summary>
    internal static (Donation Donation, IReadOnlyList<Bag> Bags) ReadFields(GiftInput input, QuarantinePolicy policy, Check check)
    {
        Donation donation = new()
        {
            Number = "",
            Kind = input.Kind,
            Decision = input.Decision,
            DecisionReason = check.Text(input.DecisionReason, "decisionReason", 500),
            Wishes = check.Text(input.Wishes, "wishes", 1000),
            Notes = check.Text(input.Notes, "notes", 4000),
        };
        check.That(donation.Decision == IntakeDecision.Accepted || donation.DecisionReason.Length > 0, "decisionReason", "Say why the gift was not accepted.");
        check.That(input.Bags.Count is >= 1 and <= MostBags, "bags", "A gift has 1 to {0} bags; {1} were given.", MostBags, input.Bags.Count);
        return (donation, [.. input.Bags.Take(MostBags).Select((bag, index) => ReadBag(bag, index, policy, check))]);
    }

    private static LoggedBag ToLogged(Donation donation, Bag bag) =>
        new(bag.Id, bag.Ordinal, $"{donation.Number}/{bag.Ordinal}", bag.GrossMg - bag.TareMg, bag.QuarantineReason, ConditionRules.StaysShut(bag.Conditions));

    /// <summary>Books what came in; a gift that does not stay is booked in and out again, so that its history is told.</summary>
    private static async Task BookAsync(Act act, Donation donation)
    {
        Place? outTo = donation.Decision switch
        {
            IntakeDecision.PassedOn => Place.PassedOn,
            IntakeDecision.Discarded => Place.Waste,
            _ => null,
        };
        foreach (Bag bag in donation.Bags)
        {
            long net = bag.GrossMg - bag.TareMg;
            if (donation.Decision != IntakeDecision.DeclinedAtTheDoor)
            {
                act.Db.Movements.Add(Movement.OfBag(
                    MovementDraft.Create(Place.Donor(donation.Id), Place.Bag(bag.Id), net, MovementReason.Received), bag.Id, act.By.Id, act.Now));
                await act.Db.SaveChangesAsync(act.Cancellation);
            }

            if (outTo is { } place)
            {
                MovementReason reason = place.Kind == PlaceKind.Waste ? MovementReason.Discarded : MovementReason.PassedOn;
                act.Db.Movements.Add(Movement.OfBag(
                    MovementDraft.Create(Place.Bag(bag.Id), place, net, reason), bag.Id, act.By.Id, act.Now, donation.DecisionReason));
                await act.Db.SaveChangesAsync(act.Cancellation);
            }

            if (donation.Decision != IntakeDecision.Accepted)
            {
                bag.ClosedAt = act.Now;
                bag.ClosedById = act.By.Id;
                bag.QuarantineReason = null;
                bag.QuarantinedAt = null;
            }
        }
    }

    private static async Task<Guid?> DonorAsync(Act act, GiftInput input, Check check)
    {
        if (input.DonorId is { } id)
        {
            bool known = await act.Db.Donors.AnyAsync(d => d.Id == id, act.Cancellation);
            check.That(known, "donor", "This donor is not in the list. Search again, or enter the name.");
            return id;
        }

        string name = check.Text(input.DonorName, "donorName", 200);
        string contact = check.Text(input.DonorContact, "donorContact", 300);
        check.That(name.Length > 0 || contact.Length == 0, "donorName", "A contact needs a name. Enter the name, or leave both empty for a donor who wished no name.");
        if (name.Length == 0 || check.Failed)
        {
            return null;
        }

        Donor donor = new() { Name = name, Contact = contact, CreatedAt = act.Now, CreatedById = act.By.Id, ChangedAt = act.Now, ChangedById = act.By.Id };
        act.Db.Donors.Add(donor);
        return donor.Id;
    }

    private static Bag ReadBag(BagInput input, int index, QuarantinePolicy policy, Check check)
    {
        string At(string field) => $"bags[{index}].{field}";
        check.That(input.GrossGrams is not null, At("grossGrams"), "Weigh the bag and enter its grams.");
        check.That(input.TareGrams is null or >= 0, At("tareGrams"), "The empty bag can't weigh {0} g; allowed is 0 or more.", input.TareGrams ?? 0);
        decimal gross = input.GrossGrams ?? 0;
        decimal tare = Math.Max(0, input.TareGrams ?? 0);
        if (input.GrossGrams is not null)
        {
            check.That(gross > 0 && gross <= MassLimits.BagMaxGrams, At("grossGrams"),
                "A bag of {0} g can't be; allowed is more than 0 and at most {1} g.", gross, MassLimits.BagMaxGrams);
            check.That(gross <= 0 || Mass.FromGrams(tare) < Mass.FromGrams(Math.Min(gross, MassLimits.BagMaxGrams)), At("tareGrams"), "The empty bag ({0} g) can't weigh as much as the full one ({1} g). Check both.", tare, gross);
        }

        Outcome<Conditions> conditions = ConditionRules.FromKeys(input.Conditions, At("conditions"));
        Conditions noted = check.Take(conditions);
        if (check.Failed)
        {
            gross = Math.Clamp(gross, 0, MassLimits.BagMaxGrams);
            tare = 0;
        }

        return new Bag
        {
            Ordinal = index + 1,
            GrossMg = Mass.FromGrams(gross).Milligrams,
            TareMg = Mass.FromGrams(tare).Milligrams,
            Conditions = noted,
            QuarantineReason = ConditionRules.BagQuarantine(policy, noted),
        };
    }
}
