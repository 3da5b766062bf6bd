using GuildStash.Data.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning;
using GuildStash.Web.Components.Shared;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Planning;

/// <summary>What pages say of plans.</summary>
internal static class PlanWords
{
    public static Phrase Name(this PlanPurpose purpose) => new(purpose switch
    {
        PlanPurpose.Room => "For the room",
        PlanPurpose.Member => "For oneself",
        PlanPurpose.Drive => "For a drive",
        PlanPurpose.Wanted => "What open projects lack",
        _ => "What if",
    });

    public static Phrase Name(this PlanState state) => new(state switch
    {
        PlanState.Waiting => "waits for its turn",
        PlanState.Running => "being sought",
        PlanState.Done => "done",
        PlanState.Stopped => "stopped",
        PlanState.Interrupted => "interrupted",
        _ => "came to nothing",
    });

    public static StatusTone Tone(this PlanState state) => state switch
    {
        PlanState.Done => StatusTone.Good,
        PlanState.Failed or PlanState.Interrupted => StatusTone.Caution,
        PlanState.Stopped => StatusTone.Soft,
        _ => StatusTone.Plain,
    };

    /// <summary>What a stage is after.</summary>
    public static Phrase Aim(this PlanStage stage) => new(stage switch
    {
        PlanStage.Pieces => "As many pieces as can be",
        PlanStage.LotsAndJoins => "Few lots opened, few joins",
        PlanStage.Unusable => "Little left in amounts under 20 g",
        PlanStage.Colour => "Colours that fit",
        _ => "Bins emptied, old yarn used",
    });

    /// <summary>A stage's value with its unit.</summary>
    public static string Value(this IStringLocalizer texts, PersonDisplay display, PlanStage stage, double value) => stage switch
    {
        PlanStage.Pieces => texts[value == 1 ? "{0} point by priority" : "{0} points by priority", value.ToString("#,0.##", display.Culture)],
        PlanStage.LotsAndJoins => texts[value == 1 ? "{0} lot or join" : "{0} lots and joins", value.ToString("#,0", display.Culture)],
        PlanStage.Colour => texts[value == 1 ? "{0} point off the wished colours" : "{0} points off the wished colours", value.ToString("#,0.##", display.Culture)],
        PlanStage.Wishes => texts[value == 1 ? "{0} wish met" : "{0} wishes met", value.ToString("#,0.##", display.Culture)],
        _ => display.Mass((long)Math.Round(value * 1000)),
    };

    /// <summary>How good a stage is known to be.</summary>
    public static string Proof(this IStringLocalizer texts, PersonDisplay display, PlanLevel level) => level switch
    {
        { IsProven: true } => texts["proven: no plan does better"],
        { Bound: { } bound, Gap: { } gap } => texts["no plan gets better than {0}; that is {1} away", texts.Value(display, level.Stage, bound), Percent(texts, display, gap)],
        _ => texts["nothing is proven about it"],
    };

    /// <summary>A chance or a gap, so that a small one is not told as none.</summary>
    public static string Percent(this IStringLocalizer texts, PersonDisplay display, double part) => part switch
    {
        <= 0 => texts["{0} %", 0],
        < 0.005 => texts["under {0} %", 1],
        > 0.995 and < 1 => texts["over {0} %", 99],
        _ => texts["{0} %", Math.Round(part * 100).ToString("0", display.Culture)],
    };

    public static string Classes(this IStringLocalizer texts, IReadOnlyList<WeightClass> classes) =>
        classes.Count == 0 ? texts["of a given length per mass"] : string.Join(texts[" or "], classes.InWords().Select(each => texts.Word(each)));

    /// <summary>What is missing of one part.</summary>
    public static string Missing(this IStringLocalizer texts, PersonDisplay display, PlannedShortage shortage)
    {
        string yarn = shortage.Family is { } family ? texts["{0}, {1}", texts.Classes(shortage.WeightClasses), texts.Word(family)] : texts.Classes(shortage.WeightClasses);
        return shortage.Mg is { } mg
            ? texts["{0} of {1}, about {2}", display.LengthAtMost(shortage.Metres), yarn, display.Mass(mg)]
            : texts["{0} of {1}", display.LengthAtMost(shortage.Metres), yarn];
    }

    /// <summary>A heading for a plan without a name of its own.</summary>
    public static string Title(this IStringLocalizer texts, PlanPurpose purpose, string name) => name.Length > 0 ? name : texts.Say(purpose.Name());

    /// <summary>One sentence on the whole.</summary>
    public static string Summary(this IStringLocalizer texts, PersonDisplay display, PlanResult result)
    {
        string lots = result.LotsOpened == 1 ? texts["from one lot"] : texts["from {0} lots", display.Count(result.LotsOpened)];
        string made = result.Count < result.Wanted
            ? texts["{0} of {1} pieces can be made, {2}.", display.Count(result.Count), display.Count(result.Wanted), lots]
            : result.Wanted == 1 ? texts["The piece can be made, {0}.", lots] : texts["All {0} pieces can be made, {1}.", display.Count(result.Count), lots];
        return result.Count == 0 ? result.Wanted == 1 ? texts["The piece can't be made. Below is why."] : texts["None of the {0} pieces can be made. Below is why.", display.Count(result.Wanted)] : made;
    }
}
