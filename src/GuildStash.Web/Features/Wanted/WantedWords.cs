using System.Text;
using GuildStash.Domain.Colours;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Infrastructure.Display;
using GuildStash.Web.Infrastructure.Localisation;
using Microsoft.Extensions.Localization;

namespace GuildStash.Web.Features.Wanted;

/// <summary>What page and text say of wanted yarn.</summary>
internal static class WantedWords
{
    /// <summary>"DK", "DK or Aran", "DK, Worsted or Aran".</summary>
    public static string Classes(this IStringLocalizer<Texts> texts, IReadOnlyList<WeightClass> classes)
    {
        string[] names = [.. classes.InWords().Select(c => texts.Say(c.Name()))];
        return names.Length switch
        {
            0 => texts["of a thickness to ask for"],
            1 => names[0],
            _ => texts["{0} or {1}", string.Join(", ", names[..^1]), names[^1]],
        };
    }

    public static string Family(this IStringLocalizer<Texts> texts, ColourFamily? family) => family is { } known ? texts.Say(known.Name()) : texts["any colour"];

    /// <summary>"about 1,200 yd, 360 g".</summary>
    public static string About(this IStringLocalizer<Texts> texts, PersonDisplay display, WantedLine line) => line.Mg is { } mg
        ? texts["about {0}, {1}", display.Length(line.Metres), display.Mass(mg)]
        : texts["about {0}", display.Length(line.Metres)];

    /// <summary>"12 × Hat" with its project where that may be told.</summary>
    public static string Piece(this IStringLocalizer<Texts> texts, PersonDisplay display, WantedFor piece) => piece.Project is { } project
        ? texts["{0} × {1} ({2})", display.Count(piece.Missing), piece.Piece, project]
        : texts["{0} × {1}", display.Count(piece.Missing), piece.Piece];

    /// <summary>The whole as plain text for a letter, a noticeboard or a group: what is lacking, what can't be taken, where it goes.</summary>
    /// <param name="address">Of the page that everybody may open; null where there is none.</param>
    public static string Text(this IStringLocalizer<Texts> texts, PersonDisplay display, WantedSheet sheet, string? address)
    {
        StringBuilder text = new();
        text.Append(texts["{0}: yarn wanted", sheet.GuildName]).Append("\n\n");
        foreach (WantedLine line in sheet.Lines)
        {
            string pieces = string.Join("; ", line.For.Select(piece => texts.Piece(display, piece)));
            text.Append("- ").Append(texts["{0}, {1}: {2}, for {3}", texts.Classes(line.Classes), texts.Family(line.Family), texts.About(display, line), pieces]).Append('\n');
        }

        text.Append('\n').Append(texts["Clean and dry yarn, please, with its band where there is one. Tell us if it met smoke, pets, scent or mothballs; yarn with moths or mould can't be taken."]).Append('\n');
        foreach (WantedRules rules in sheet.Rules)
        {
            text.Append(texts["{0}: {1}.", rules.Project ?? texts["Some of the recipients"], string.Join(", ", RuleWords.Of(texts, rules.Rules))]).Append('\n');
        }

        text.Append('\n').Append(texts["Bring it to:"]).Append('\n').Append(sheet.GuildName).Append('\n');
        if (sheet.GuildAddress.Length > 0)
        {
            text.Append(sheet.GuildAddress.ReplaceLineEndings("\n")).Append('\n');
        }

        if (sheet.AsOf is { } asOf)
        {
            text.Append('\n').Append(texts["As of {0}.", display.Date(asOf)]);
        }

        text.Append(address is null ? "" : " " + texts["What is wanted now: {0}", address]);
        return NoBreak.Plain(text.ToString().TrimEnd());
    }
}
