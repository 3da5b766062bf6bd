using GuildStash.Domain.Colours;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Printing;
using GuildStash.Web.Features.Printing;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Wanted;

/// <summary>Puts together the poster that asks for yarn. It hangs outside, so it says no more than the open page.</summary>
public sealed class WantedPosterData(WantedReader reader, GuildDefaults guild, PublicAddress address)
{
    /// <param name="by">Who prints it.</param>
    /// <param name="paper">Key of a paper size; A4 where nothing is said.</param>
    /// <param name="texts">The guild's language and unit.</param>
    public async Task<Outcome<PrintedPaper>> PrintAsync(Guid by, string? paper, PrintTexts texts, CancellationToken cancellation)
    {
        Outcome<WantedSheet> sheet = await reader.ForEverybodyAsync(by, cancellation);
        if (!sheet.IsOk)
        {
            return Outcome<PrintedPaper>.Refused(sheet.Refusals);
        }

        if ((paper is null ? PaperSize.A4 : PaperSize.Find(paper)) is not { } size)
        {
            return Refusal.Invalid("paper", "\"{0}\" is no paper size; there are {1}.", paper!.Length <= 20 ? paper : paper[..20] + "…", string.Join(", ", PaperSize.All.Select(s => s.Key)));
        }

        if (sheet.Value.Lines.Count == 0)
        {
            return Refusal.Conflict("nothing-wanted", "Nothing is lacking, so there is nothing to ask for on a poster. Reckon anew on the page of the wanted yarn, then print.");
        }

        Outcome<string?> link = Link(sheet.Value);
        return link.IsOk ? new PrintedPaper("yarn-wanted.pdf", WantedPosterDocument.Render(Poster(sheet.Value, link.Value, texts), size, texts)) : Outcome<PrintedPaper>.Refused(link.Refusals);
    }

    /// <summary>Only where everybody may open the page, and phones reach it.</summary>
    private Outcome<string?> Link(WantedSheet sheet)
    {
        if (!sheet.IsPublic || address.IsOnlyHere)
        {
            return (string?)null;
        }

        Outcome<string> link = QrAddress.For(address, WantedRoutes.Open);
        return link.IsOk ? link.Value : Outcome<string?>.Refused(link.Refusals);
    }

    private WantedPoster Poster(WantedSheet sheet, string? link, PrintTexts texts) => new()
    {
        GuildName = sheet.GuildName,
        Address = sheet.GuildAddress,
        AsOf = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(sheet.AsOf!.Value, guild.Zone).DateTime),
        For = sheet.Projects,
        Lines = [.. sheet.Lines.Select(line => Line(line, texts))],
        Url = link,
    };

    private static WantedPosterLine Line(WantedLine line, PrintTexts texts) => new(
        [.. line.Classes.InWords().Select(c => new PrintedWeightClass(texts.Say(c.Name()), c.TypicalWraps()))],
        line.Family is { } family ? new PrintedColour(texts.Say(family.Name()), FamilySwatches.Of(family)) : null,
        line.Metres,
        line.Mg,
        [.. line.For.Select(piece => (piece.Missing, piece.Piece))]);
}
