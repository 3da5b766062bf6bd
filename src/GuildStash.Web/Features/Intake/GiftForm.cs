using GuildStash.Domain.Intake;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Drafts;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Intake;

/// <summary>How the giver wants to be known.</summary>
public enum DonorWish
{
    NoName = 0,
    Known = 1,
    New = 2,
}

/// <summary>One bag while it is typed in.</summary>
public sealed record BagForm
{
    public decimal? GrossGrams { get; set; }

    public decimal? TareGrams { get; set; }

    public Conditions Conditions { get; set; }

    /// <summary>Gross minus tare in milligrams; null while that can't be a bag.</summary>
    public long? NetMg => GrossGrams is { } gross && gross > (TareGrams ?? 0) && TareGrams is null or >= 0 && gross <= MassLimits.BagMaxGrams
        ? Mass.FromGrams(gross).Milligrams - Mass.FromGrams(TareGrams ?? 0).Milligrams
        : null;

    public void Toggle(Conditions condition) => Conditions ^= condition;
}

/// <summary>A gift while it is typed in: the whole state of the form, so that it can be kept and taken up again.</summary>
public sealed record GiftForm : IDraftForm
{
    /// <summary>Names this one saving, so that a repeated one does nothing.</summary>
    public Guid RequestId { get; set; } = Guid.CreateVersion7();

    public IntakeKind Kind { get; set; }

    public DonorWish Donor { get; set; }

    public DonorChoice? KnownDonor { get; set; }

    public string? DonorName { get; set; }

    public string? DonorContact { get; set; }

    public DateOnly? ReceivedOn { get; set; }

    public string? Wishes { get; set; }

    public string? Notes { get; set; }

    public IntakeDecision Decision { get; set; }

    public string? DecisionReason { get; set; }

    public List<BagForm> Bags { get; set; } = [new()];

    /// <summary>What the use case takes, or what only the form can see to be missing.</summary>
    public Outcome<GiftInput> ToInput()
    {
        Check check = new();
        check.That(Donor != DonorWish.Known || KnownDonor is not null, "donor", "Search for the donor and choose one, or say that the donor wished no name.");
        check.That(Donor != DonorWish.New || !string.IsNullOrWhiteSpace(DonorName), "donorName", "Enter the donor's name, or say that the donor wished no name.");
        GiftInput input = new()
        {
            Kind = Kind,
            Decision = Decision,
            DecisionReason = Decision == IntakeDecision.Accepted ? null : DecisionReason,
            DonorId = Donor == DonorWish.Known ? KnownDonor?.Id : null,
            DonorName = Donor == DonorWish.New ? DonorName : null,
            DonorContact = Donor == DonorWish.New ? DonorContact : null,
            ReceivedOn = ReceivedOn,
            Wishes = Wishes,
            Notes = Notes,
            Bags = [.. Bags.Select(bag => new BagInput(bag.GrossGrams, bag.TareGrams, ConditionRules.Keys(bag.Conditions)))],
        };
        if (!check.Failed)
        {
            return input;
        }

        // What else is wrong is said at the same time, not at the next press.
        LogGift.ReadFields(input, default, check);
        return check.Refuse<GiftInput>();
    }
}
