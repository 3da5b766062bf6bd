using GuildStash.Domain.Codes;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.HandOver;

/// <summary>What the desk says after it did something.</summary>
internal static class HandOverWords
{
    public static string Done(IStringLocalizer<Texts> texts, PersonDisplay display, HandedOver taken)
    {
        string lot = LotCode.Parse(taken.LotCode).Value.Display;
        string mass = display.Mass(taken.Mg);
        string due = display.Date(taken.DueOn);
        return taken switch
        {
            { LotIsEmpty: true, DifferenceMg: not 0 } => texts["{0} of lot {1} are handed over, due back or used by {2}. The lot is closed; {3} are booked as the weighing difference.",
                mass, lot, due, display.Mass(Math.Abs(taken.DifferenceMg))],
            { LotIsEmpty: true } => texts["{0} of lot {1} are handed over, due back or used by {2}. The lot is closed.", mass, lot, due],
            _ => texts["{0} of lot {1} are handed over, due back or used by {2}.", mass, lot, due],
        };
    }

    public static string Done(IStringLocalizer<Texts> texts, PersonDisplay display, TakenBack back)
    {
        string lot = LotCode.Parse(back.LotCode).Value.Display;
        string mass = display.Mass(back.Mg);
        string came = back.IsFree
            ? texts["{0} of lot {1} came back and are free again. Put them into their bin.", mass, lot]
            : texts["{0} of lot {1} came back. Put them into the quarantine bin until they are inspected.", mass, lot];
        string rest = back switch
        {
            { StillAtHomeMg: > 0 } => texts["{0} are still with the member.", display.Mass(back.StillAtHomeMg)],
            { KeptMg: > 0 } => texts["The member keeps the other {0}; they are out of the books.", display.Mass(back.KeptMg)],
            { UsedUpMg: > 0 } => texts["The other {0} went into the pieces and are booked as used up.", display.Mass(back.UsedUpMg)],
            _ => texts["Nothing of it is left with the member."],
        };
        return $"{came} {rest}";
    }
}
