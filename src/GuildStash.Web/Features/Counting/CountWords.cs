using GuildStash.Domain.Counting;
using GuildStash.Web.Components.Shared;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Counting;

/// <summary>Sentences and signs about counts that several parts share.</summary>
internal static class CountWords
{
    public static string Done(IStringLocalizer<Texts> texts, CountResult result)
    {
        if (result.Way == CountWay.WholeBin)
        {
            return result.Outcome == CountOutcome.Agrees
                ? texts["The whole bin agrees with the books. Nothing is booked, since nobody knows which lot the rest is."]
                : texts["The whole bin differs from the books. Nobody knows which lot it is, so nothing is booked: the bin stands first in the count plan, to be weighed lot by lot. What then lies beyond its tolerance waits for a second person."];
        }

        int all = result.Lots.Count;
        int booked = result.Lots.Count(l => l.Outcome == CountOutcome.Booked);
        int asked = result.Lots.Count(l => l.Outcome == CountOutcome.Asked);
        string counted = all == 1 ? texts["1 lot is counted."] : texts["{0} lots are counted.", all];
        string differences = booked switch
        {
            0 => asked == 0 ? " " + (all == 1 ? texts["It agrees with the books."] : texts["All agree with the books."]) : "",
            1 => " " + texts["1 difference is booked."],
            _ => " " + texts["{0} differences are booked.", booked],
        };
        string waits = asked switch
        {
            0 => "",
            1 => " " + texts["1 difference is beyond its tolerance and waits for a second person."],
            _ => " " + texts["{0} differences are beyond their tolerance and wait for a second person.", asked],
        };
        return counted + differences + waits;
    }

    public static string Signed(PersonDisplay display, long milligrams) => milligrams > 0 ? "+" + display.Grams(milligrams) : display.Grams(milligrams);

    /// <summary>To a tenth of a gram: no more of it means anything.</summary>
    public static string Tolerance(PersonDisplay display, long milligrams) => "± " + display.Grams((long)Math.Round(milligrams / 100.0) * 100);

    public static StatusTone Tone(CountOutcome outcome) => outcome switch
    {
        CountOutcome.Agrees or CountOutcome.Approved => StatusTone.Good,
        CountOutcome.Asked or CountOutcome.Differs => StatusTone.Caution,
        CountOutcome.Booked => StatusTone.Plain,
        _ => StatusTone.Soft,
    };
}
