using GuildStash.Domain.Fibres;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Yardage;
using GuildStash.Planning;
using GuildStash.Planning.Problem;

namespace GuildStash.Web.Features.Planning;

/// <summary>Puts together what the planner is asked with.</summary>
internal static class PlanInputs
{
    /// <summary>With the bags that the ask only thinks of, whose places are told in the lots.</summary>
    /// <param name="safety">0.5 to 0.99.</param>
    public static (PlanInput Input, List<PlannedLot> Lots) Of(PlanAsk ask, ReadyPieces pieces, IReadOnlyList<ReadyLot> lots, double safety, YardageRules rules)
    {
        PlanInput input = new()
        {
            Lots = [.. lots.Select(each => each.Lot)],
            Pieces = [.. pieces.Pieces.Select(each => each.Piece)],
            Substitutes = rules.Strands,
            Safety = safety,
            MinutesLimit = ask.MinutesLimit,
        };
        List<PlannedLot> places = [.. lots.Select(each => each.Source)];
        foreach (AskedBag bag in ask.Bags)
        {
            FibreContent? fibres = bag.Fibre is { } code && FibreContent.Create([new FibreShare(code, 100)]) is { IsOk: true } content ? content.Value : null;
            input = WhatIf.WithBag(input, Mass.FromGrams(bag.Grams), bag.WeightClass, bag.Family, rules.Table, fibres);
            PlanLot added = bag.MachineWashable ? input.Lots[^1] with { Traits = input.Lots[^1].Traits with { MachineWashable = Tristate.Yes } } : input.Lots[^1];
            input = input with { Lots = [.. input.Lots.Take(input.Lots.Count - 1), added] };
            places.Add(new(Guid.Empty, added.Code, added.Mass.Milligrams, added.Yarn.At(safety).MetresPer100Grams, added.WeightClass, added.ColourFamily, null, "", "", IsThere: false));
        }

        return (input, places);
    }
}
