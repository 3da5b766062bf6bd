using GuildStash.Domain.Approvals;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Intake;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Home;

/// <summary>A line of the start page in words: what it is, what about it, and since or until when.</summary>
/// <param name="IsName">What it is was given by people and is never translated.</param>
/// <param name="Names">Codes and names about it, never translated.</param>
/// <param name="About">Words and figures about it.</param>
/// <param name="IsUrgent">The moment is past or near.</param>
public sealed record HomeLine(string What, bool IsName, string Names, string About, string When, bool IsUrgent, string Href);

/// <summary>Words and ways of the start page's lists.</summary>
public sealed class HomeWords(IStringLocalizer<Texts> texts, PersonDisplay display, DateOnly today)
{
    private const string Between = " · ";

    public string Title(HomeSection section) => texts[section switch
    {
        HomeSection.Sort => "Bags that wait longest",
        HomeSection.Inspect => "Bags to inspect",
        HomeSection.LotsApart => "Lots kept apart",
        HomeSection.Returns => "Leftovers to inspect",
        HomeSection.Prepare => "Requests to prepare",
        HomeSection.Lapsing => "Holds that lapse soon",
        HomeSection.Late => "Yarn that is late",
        HomeSection.MyHolds => "Your holds that lapse soon",
        HomeSection.MyYarn => "Your yarn that is due or late",
        HomeSection.Projects => "Projects that look for hands",
        HomeSection.Invitations => "Open invitations",
        HomeSection.SecondPerson => "Waits for a second person",
        HomeSection.Plans => "Plans to ask anew",
        HomeSection.FirstSteps => "First steps",
        _ => throw new ArgumentOutOfRangeException(nameof(section), section, "Unknown section."),
    }];

    /// <summary>Where the whole list is.</summary>
    public static string AllHref(HomeSection section) => section switch
    {
        HomeSection.Sort => "/sorting",
        HomeSection.Inspect => "/intake?show=quarantine",
        HomeSection.LotsApart => "/inventory/lots?status=quarantined",
        HomeSection.Returns => "/hand-over?tab=returns",
        HomeSection.Prepare or HomeSection.Lapsing => "/hand-over",
        HomeSection.Late => "/hand-over?tab=home&late=true",
        HomeSection.MyHolds or HomeSection.MyYarn => "/my-yarn",
        HomeSection.Projects => "/projects",
        HomeSection.Invitations => "/people",
        HomeSection.SecondPerson => "/second-person",
        HomeSection.Plans => "/plans",
        HomeSection.FirstSteps => "/guide/coordinator",
        _ => throw new ArgumentOutOfRangeException(nameof(section), section, "Unknown section."),
    };

    public HomeLine Line(HomeSection section, HomeEntry row) => section switch
    {
        HomeSection.Sort => new(row.Code, true, "", texts["{0} left to sort", display.Mass(row.Mg)], Waits(row.Day), false, $"/sorting/{row.Id}"),
        HomeSection.Inspect => new(row.Code, true, "", Kept(row), Waits(row.Day), false, $"/intake/{row.Id}"),
        HomeSection.LotsApart => new(row.Code, true, "", Joined(Lots(row), Why(row)), Waits(DayOf(row.At)), false, $"/intake/{row.Id}"),
        HomeSection.Returns => new(Lot(row), true, row.Name, display.Mass(row.Mg), Waits(DayOf(row.At)), false, "/hand-over?tab=returns"),
        HomeSection.Prepare when row.Name.Length == 0 => Nobodys(row, Waits(DayOf(row.At)), false),
        HomeSection.Lapsing when row.Name.Length == 0 => Nobodys(row, Lapses(row), true),
        HomeSection.Prepare => new(row.Name, true, Joined(row.Code, row.About), Joined(Lots(row), display.Mass(row.Mg)), Waits(DayOf(row.At)), false, $"/hand-over?q={row.Code}"),
        HomeSection.Lapsing => new(row.Name, true, Joined(row.Code, row.About), Joined(Lots(row), display.Mass(row.Mg)), Lapses(row), true, $"/hand-over?q={row.Code}"),
        HomeSection.Late => new(row.Name, true, Joined(Lot(row), row.About), Joined(display.Mass(row.Mg), texts["taken {0}", display.Date(row.At!.Value)]), Due(row), true, $"/hand-over?tab=home&late=true&q={row.Code}"),
        HomeSection.MyHolds => new(row.Code, true, row.About, Joined(Lots(row), display.Mass(row.Mg)), Lapses(row), true, "/my-yarn"),
        HomeSection.MyYarn => new(Lot(row), true, row.About, display.Mass(row.Mg), Due(row), row.Day < today, "/my-yarn"),
        HomeSection.Projects => new(row.Name, true, row.About, Pieces(row.Number), row.Day is { } day ? texts["until {0}", display.Date(day)] : "", row.Day < today, $"/projects/{row.Id}"),
        HomeSection.Invitations => new(row.Name.Length > 0 ? row.Name : texts["not noted for whom"], row.Name.Length > 0, "", texts.Say(RoleNames.Of(Enum.Parse<Role>(row.About))), texts["holds until {0}", display.Date(row.At!.Value)], false, "/people"),
        HomeSection.SecondPerson => new(row.Code, true, row.Name, Joined(texts.Say(Enum.Parse<ApprovalKind>(row.About).Name()), display.Mass(row.Mg)), Waits(DayOf(row.At)), false, "/second-person"),
        HomeSection.Plans when row.About == HomeReader.OldWanted => new(texts["Yarn wanted"], false, "", texts["what is said to be lacking was reckoned long ago"], Waits(DayOf(row.At)), false, "/wanted"),
        HomeSection.Plans => new(row.Code, true, row.Name, row.Number > 0 ? texts["interrupted; its best answer by then is kept"] : texts["interrupted before it had an answer"], Waits(DayOf(row.At)), false, $"/plans/{row.Id}"),
        HomeSection.FirstSteps => Step(row.About),
        _ => throw new ArgumentOutOfRangeException(nameof(section), section, "Unknown section."),
    };

    private HomeLine Step(string step) => step switch
    {
        HomeReader.MakeBins => new(texts["Make the bins"], false, "", texts["shelves, boxes and drawers that the yarn will lie in"], "", false, "/bins/new"),
        HomeReader.PrintLabels => new(texts["Print labels"], false, "", texts["for the bins, and a test page for the printer"], "", false, "/print"),
        HomeReader.InvitePeople => new(texts["Invite people"], false, "", texts["a link for each who sorts, plans or knits"], "", false, "/people"),
        HomeReader.FillPieceBook => new(texts["Fill the piece book"], false, "", texts["what the guild makes, and the yarn that it takes"], "", false, "/pieces"),
        _ => throw new ArgumentOutOfRangeException(nameof(step), step, "Unknown step."),
    };

    private static string Lot(HomeEntry row) => LotCode.Parse(row.Code).Value.Display;

    private static string Joined(params string[] parts) => string.Join(Between, parts.Where(part => part.Length > 0));

    private DateOnly DayOf(DateTimeOffset? moment) => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(moment!.Value, display.Zone).DateTime);

    /// <summary>A bag with signs of insects or mould is not opened; it leaves the room.</summary>
    private string Kept(HomeEntry row) => Enum.Parse<QuarantineReason>(row.About) is QuarantineReason.SignsOfInsects or QuarantineReason.SignsOfMould
        ? Joined(Why(row), texts["stays shut, to be discarded"])
        : Why(row);

    private string Why(HomeEntry row) => texts.Say(Enum.Parse<QuarantineReason>(row.About).Why());

    /// <summary>A kit that nobody makes yet leads to the kit: at the desk nothing can be done with it.</summary>
    private HomeLine Nobodys(HomeEntry row, string when, bool isUrgent) =>
        new(row.Code, true, row.About, Joined(texts["nobody makes it yet"], Lots(row), display.Mass(row.Mg)), when, isUrgent, $"/kits/{row.Code}");

    private string Lots(HomeEntry row) => texts.Say(BagWords.Lots((int)row.Number));

    private string Pieces(long wanted) => wanted switch
    {
        0 => "",
        1 => texts["one piece is wanted"],
        _ => texts["{0} pieces are wanted", display.Count(wanted)],
    };

    private string Waits(DateOnly? since) => (today.DayNumber - since!.Value.DayNumber) switch
    {
        <= 0 => texts["since today"],
        1 => texts["since yesterday"],
        int days => texts["for {0} days", display.Count(days)],
    };

    private string Lapses(HomeEntry row) => texts["lapses {0}", display.Date(row.At!.Value)];

    private string Due(HomeEntry row) => row.Day < today ? texts["late since {0}", display.Date(row.Day!.Value)] : texts["due {0}", display.Date(row.Day!.Value)];
}
