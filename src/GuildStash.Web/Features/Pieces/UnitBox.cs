using GuildStash.Domain.People;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A number as it is typed in the person's unit. What was shown and not typed over stays exact, so that saving again moves nothing.</summary>
/// <param name="keptInOne">How many of the kept unit are in one of the person's.</param>
/// <param name="decimals">To which what is kept is shown.</param>
public sealed class UnitBox(double keptInOne, int decimals = 1)
{
    private const double CentimetresPerInch = 2.54;

    private decimal? _shown;
    private double? _exact;

    /// <summary>In the person's unit.</summary>
    public decimal? Value { get; set; }

    /// <summary>In the kept unit; null where nothing stands there.</summary>
    public double? Kept => Value is null ? null : Value == _shown ? _exact : (double)Value.Value * keptInOne;

    public void Show(double? kept)
    {
        _exact = kept;
        Value = _shown = kept is { } number ? decimal.Round((decimal)(number / keptInOne), decimals) : null;
    }

    /// <summary>What stands in it, to be put back; null where nothing does.</summary>
    public TypedFigure? Take() => Value is { } typed && Kept is { } kept ? new(typed, kept) : null;

    /// <param name="sameUnit">Whether it was typed in the unit that is read now; else it is shown in this one.</param>
    public void PutBack(TypedFigure? figure, bool sameUnit)
    {
        Show(figure?.Kept);
        if (figure is not null && sameUnit)
        {
            Value = _shown = figure.Typed;
        }
    }

    /// <summary>Yarn, kept in metres.</summary>
    public static UnitBox Length(PersonDisplay display) => new(display.ToMetres(1));

    /// <summary>Fabric, kept in centimetres: inches for who reads yards.</summary>
    public static UnitBox Size(PersonDisplay display) => new(IsInches(display) ? CentimetresPerInch : 1, 2);

    public static bool IsInches(PersonDisplay display) => display.Unit == LengthUnit.Yards;
}

/// <summary>A number that stood in a box.</summary>
/// <param name="Typed">In the person's unit of then.</param>
/// <param name="Kept">In the kept unit.</param>
public sealed record TypedFigure(decimal Typed, double Kept);
