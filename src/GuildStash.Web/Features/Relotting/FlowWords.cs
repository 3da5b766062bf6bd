using GuildStash.Domain.Relotting;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Relotting;

/// <summary>What pages and files say of the points and steps of a history.</summary>
internal static class FlowWords
{
    public static string PointOf(this IStringLocalizer texts, FlowView view, FlowKey key)
    {
        string name = view.Names.GetValueOrDefault(key.Id)?.Name ?? "";
        return key.Kind switch
        {
            FlowNodeKind.Bag => texts["Bag {0}", name],
            FlowNodeKind.Lot when key.Stage > 0 => texts["Lot {0} after a merge", name],
            FlowNodeKind.Lot => texts["Lot {0}", name],
            FlowNodeKind.Home => texts["Taken home"],
            FlowNodeKind.InRoom => texts["In the room now"],
            FlowNodeKind.AtHome => texts["At members' homes now"],
            FlowNodeKind.InBag => texts["Unsorted in the bag now"],
            FlowNodeKind.Pieces => texts["Pieces for {0}", name],
            FlowNodeKind.PassedOn => texts["Kept or passed on"],
            FlowNodeKind.Stuffing => texts["Stuffing"],
            FlowNodeKind.Waste => texts["Waste"],
            FlowNodeKind.Lost => texts["Lost"],
            FlowNodeKind.Difference => texts["Difference when weighing"],
            _ => texts["Further lots"],
        };
    }

    public static string StepOf(this IStringLocalizer texts, FlowStep step) => step switch
    {
        { Reason: { } reason } => texts.Word(reason),
        { To.Kind: FlowNodeKind.Lot } => texts["stayed in this lot when others were merged into it"],
        _ => texts["is there now"],
    };

    /// <summary>What came in and where it is, as sums of the picture.</summary>
    public static FlowSums SumsOf(FlowGraph graph)
    {
        long At(params FlowNodeKind[] kinds) => graph.Nodes.Where(n => kinds.Contains(n.Kind)).Sum(graph.Into);
        long came = graph.Nodes.Where(n => graph.Into(n) == 0).Sum(graph.OutOf);
        return new(came, At(FlowNodeKind.InRoom, FlowNodeKind.InBag), At(FlowNodeKind.AtHome), At(FlowNodeKind.Pieces), At(FlowNodeKind.PassedOn), At(FlowNodeKind.Stuffing),
            At(FlowNodeKind.Waste, FlowNodeKind.Lost), graph.Nodes.Where(n => n.Kind is FlowNodeKind.Difference or FlowNodeKind.FurtherLots).Sum(graph.Into));
    }
}

/// <summary>Milligrams that came in, and where they are; what came is what is in all the others together.</summary>
internal sealed record FlowSums(long Came, long InRoom, long AtHome, long Pieces, long PassedOn, long Stuffing, long Gone, long Other);
