using System.ComponentModel;
using System.Globalization;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Infrastructure;

namespace GuildStash.Web.Features.Colours;

/// <param name="Lab">CIE L*, a*, b*, D65.</param>
/// <param name="Oklch">L 0 to 1, chroma, hue in degrees.</param>
/// <param name="TextHex">Black or white, whichever is better to read on the colour.</param>
internal sealed record ColourAnswer(ColourFamily Family, string Name, IReadOnlyList<double> Lab, IReadOnlyList<double> Oklch, string TextHex);

internal sealed record DifferenceAnswer(double Ciede2000);

/// <summary>Colour arithmetic of the domain; nothing of the guild's is read.</summary>
internal static class ColourEndpoints
{
    private const string LabPrefix = "lab:";

    /// <summary>No colour that can be seen has a larger a* or b*.</summary>
    private const double LargestAb = 200;

    public static void MapColours(this RouteGroupBuilder api)
    {
        RouteGroupBuilder colours = api.MapGroup("/colours").WithTags("Colours");
        colours.MapGet("/describe", Describe).WithSummary("Family and name of a colour.").Produces<ColourAnswer>();
        colours.MapGet("/difference", Difference).WithSummary("How different two colours look, CIEDE2000.").Produces<DifferenceAnswer>();
    }

    private static IResult Describe([Description("Six hexadecimal digits.")] string? hex) =>
        Field(Colour.Parse(hex), "hex").Answer(colour =>
        {
            (ColourFamily family, string name) = ColourNames.Describe(colour);
            (Lab lab, OkLch oklch) = (colour.Lab, colour.OkLch);
            return TypedResults.Ok(new ColourAnswer(family, name, [lab.L, lab.A, lab.B], [oklch.L, oklch.C, oklch.H], Contrast.TextOn(colour).Hex));
        });

    private static IResult Difference(
        [Description("Six hexadecimal digits, or lab: and three numbers, as in lab:50,2.5,-80.")] string? a, [Description("The same.")] string? b)
    {
        (Outcome<Lab> one, Outcome<Lab> two) = (LabOf(a, "a"), LabOf(b, "b"));
        return one.IsOk && two.IsOk
            ? TypedResults.Ok(new DifferenceAnswer(ColourDifference.Ciede2000(one.Value, two.Value)))
            : ApiProblems.Refused([.. one.Refusals, .. two.Refusals]);
    }

    private static Outcome<Lab> LabOf(string? sent, string field)
    {
        if (sent?.StartsWith(LabPrefix, StringComparison.OrdinalIgnoreCase) != true)
        {
            Outcome<Colour> colour = Field(Colour.Parse(sent), field);
            return colour.IsOk ? colour.Value.Lab : colour.Refusal;
        }

        List<double> numbers = [];
        foreach (string number in sent[LabPrefix.Length..].Split(','))
        {
            if (!double.TryParse(number, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) || !double.IsFinite(value))
            {
                return Unreadable(field);
            }

            numbers.Add(value);
        }

        return numbers switch
        {
            [>= 0 and <= 100, >= -LargestAb and <= LargestAb, >= -LargestAb and <= LargestAb] => new Lab(numbers[0], numbers[1], numbers[2]),
            [_, _, _] => Refusal.Invalid(field, "L runs from 0 to 100, a and b from {0} to {1}.", -LargestAb, LargestAb),
            _ => Unreadable(field),
        };
    }

    private static Refusal Unreadable(string field) =>
        ApiProblems.Unreadable(field, "\"{0}\" takes lab: and three numbers, as in lab:50,2.5,-80.", field);

    private static Outcome<Colour> Field(Outcome<Colour> colour, string field) => colour.IsOk ? colour : colour.Refusal with { Field = field };
}
