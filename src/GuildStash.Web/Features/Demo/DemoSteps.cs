using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Sorting;

namespace GuildStash.Web.Features.Demo;

/// <summary>When something happens, counted back from the day on which the demo is loaded.</summary>
/// <param name="DaysAgo">1 and more: nothing happens in the future.</param>
/// <param name="Minute">Of the day, on the guild's wall clock.</param>
internal readonly record struct DemoMoment(int DaysAgo, int Minute) : IComparable<DemoMoment>
{
    public int CompareTo(DemoMoment other) => other.DaysAgo != DaysAgo ? other.DaysAgo.CompareTo(DaysAgo) : Minute.CompareTo(other.Minute);
}

/// <summary>One act of the demo's year. People, donors, bins and projects are named by their place in the scenario, all else by its place in the plan.</summary>
internal abstract record DemoStep(DemoMoment At, int By);

/// <param name="FirstBag">Number of its first bag in the plan.</param>
/// <param name="Donor">Null: wished no name.</param>
internal sealed record LogGiftStep(DemoMoment At, int By, int FirstBag, int? Donor, GiftInput Input) : DemoStep(At, By);

/// <param name="Second">Who approves; another one than the one who inspects.</param>
internal sealed record ReleaseBagStep(DemoMoment At, int By, int Second, int Bag, string Note) : DemoStep(At, By);

internal sealed record DiscardBagStep(DemoMoment At, int By, int Bag, string Reason) : DemoStep(At, By);

/// <param name="Bin">Null: the sorting table.</param>
internal sealed record AddLotStep(DemoMoment At, int By, int Bag, int Lot, int? Bin, LotInput Input) : DemoStep(At, By);

internal sealed record WeighLotStep(DemoMoment At, int By, int Lot, decimal Grams) : DemoStep(At, By);

internal sealed record CloseBagStep(DemoMoment At, int By, int Bag) : DemoStep(At, By);

internal sealed record StartProjectStep(DemoMoment At, int By, int Project) : DemoStep(At, By);

internal sealed record CloseProjectStep(DemoMoment At, int By, int Project) : DemoStep(At, By);

/// <param name="Days">
/// Null: as the guild's settings say. A hold of the past that is taken home later must outlast the day of loading, since holds run
/// out by the database's clock.
/// </param>
internal sealed record ReserveStep(DemoMoment At, int By, int Request, IReadOnlyList<DemoPart> Parts, int? Project, int? Days) : DemoStep(At, By);

/// <summary>Grams of one lot.</summary>
internal sealed record DemoPart(int Lot, decimal Grams);

internal sealed record CancelHoldStep(DemoMoment At, int By, int Request, int Line) : DemoStep(At, By);

/// <param name="Taking">Number of the checkout in the plan.</param>
internal sealed record HandOverHoldStep(DemoMoment At, int By, int Taking, int Request, int Line) : DemoStep(At, By);

internal sealed record HandOverLotStep(DemoMoment At, int By, int Taking, int Member, DemoPart Part) : DemoStep(At, By);

/// <param name="Looked">Somebody looked at it and found nothing; otherwise it waits for an inspection.</param>
internal sealed record TakeBackStep(DemoMoment At, int By, int Taking, decimal Grams, bool Looked) : DemoStep(At, By);

internal sealed record InspectReturnStep(DemoMoment At, int By, int Taking, string Note) : DemoStep(At, By);

internal sealed record QuarantineLotStep(DemoMoment At, int By, int Lot, string Note) : DemoStep(At, By);

internal sealed record FreezeStep(DemoMoment At, int By, int Lot, string Freezer) : DemoStep(At, By);

/// <param name="Out">When it came out; it was thawed half a day later, and inspected at the moment of the step.</param>
internal sealed record FinishFreezingStep(DemoMoment At, int By, DemoMoment Out, decimal Coldest, decimal Warmest, string Result) : DemoStep(At, By);

/// <summary>Asks for a write-off that waits for a second person.</summary>
internal sealed record WriteOffStep(DemoMoment At, int By, int Lot, decimal Grams, string Reason) : DemoStep(At, By);

internal sealed record UseUpStep(DemoMoment At, int By, int Taking) : DemoStep(At, By);

/// <param name="Part">Number of the new lot in the plan.</param>
internal sealed record SplitLotStep(DemoMoment At, int By, int Lot, int Part, decimal Grams, string Note) : DemoStep(At, By);

/// <param name="Second">Who approves.</param>
internal sealed record MergeLotsStep(DemoMoment At, int By, int Second, int Left, int Other, string Reason) : DemoStep(At, By);
