using GuildStash.Domain.Colours;
using GuildStash.Domain.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;
using GuildStash.Web.Infrastructure.Display;

namespace GuildStash.Web.Features.Pieces;

/// <summary>One part while it is being typed.</summary>
public sealed class PartForm(PersonDisplay display)
{
    public string? Name { get; set; }

    public UnitBox Low { get; } = UnitBox.Length(display);

    public UnitBox Likely { get; } = UnitBox.Length(display);

    public UnitBox Safe { get; } = UnitBox.Length(display);

    /// <summary>How the lengths were found; goes when one of them is typed over.</summary>
    public Reckoning? Reckoning { get; private set; }

    public ReckonForm Reckon { get; private set; } = new(display);

    /// <summary>Whether the ways to reckon are open.</summary>
    public bool IsReckoning { get; set; }

    public HashSet<WeightClass> Classes { get; } = [];

    public UnitBox WindowLow { get; } = UnitBox.Length(display);

    public UnitBox WindowHigh { get; } = UnitBox.Length(display);

    public decimal? Strands { get; set; } = 1;

    public ColourWishKind ColourKind { get; set; }

    public ColourFamily Family { get; set; } = ColourFamily.Blue;

    public decimal? Families { get; set; } = 3;

    /// <summary>The part that it stands out from or matches.</summary>
    public PartForm? Other { get; set; }

    public string? Hex { get; set; }

    public RecipientRules Rules { get; set; }

    public HashSet<string> Fibres { get; } = [];

    public decimal? MaxLots { get; set; } = 1;

    public bool DyeLotsMayMix { get; set; } = true;

    public static PartForm Of(BookPart part, IReadOnlyList<PartForm> earlier, PersonDisplay display)
    {
        ColourWish.TryParse(part.Colour, out ColourWish wish);
        PartForm form = new(display)
        {
            Name = part.Name,
            Strands = part.Strands,
            ColourKind = wish.Kind,
            Family = wish.Family ?? ColourFamily.Blue,
            Families = wish.Kind == ColourWishKind.Palette ? wish.Count : 3,
            Other = earlier.FirstOrDefault(each => string.Equals(each.Name, wish.OtherPart, StringComparison.OrdinalIgnoreCase)),
            Hex = part.ColourHex,
            Rules = part.Rules,
            MaxLots = part.MaxLots,
            DyeLotsMayMix = part.DyeLotsMayMix,
        };
        form.Low.Show(part.IsExact ? null : part.MetresLow);
        form.Likely.Show(part.IsExact ? null : part.MetresLikely);
        form.Safe.Show(part.MetresSafe);
        form.Reckoning = part.Reckoning;
        form.Reckon.Show(part.Reckoning);
        form.Classes.UnionWith(part.WeightClasses);
        form.WindowLow.Show(part.Window?.Low);
        form.WindowHigh.Show(part.Window?.High);
        form.Fibres.UnionWith(part.OnlyFibres);
        return form;
    }

    /// <summary>A new one with nothing in it.</summary>
    public static PartForm New(string name, PersonDisplay display)
    {
        PartForm form = new(display) { Name = name };
        form.Reckon.Show(null);
        return form;
    }

    /// <summary>Takes a reckoned length over.</summary>
    /// <param name="reckoning">Null for a figure of the maker's own.</param>
    public void Use(LengthNeed need, Reckoning? reckoning)
    {
        Low.Show(need.IsExact ? null : need.Low.Metres);
        Likely.Show(need.IsExact ? null : need.Likely.Metres);
        Safe.Show(need.Safe.Metres);
        Reckoning = reckoning;
        IsReckoning = false;
    }

    /// <summary>A length was typed over, so it is no longer what was reckoned.</summary>
    public void Forget() => Reckoning = null;

    /// <param name="all">The parts among which <see cref="Other"/> is counted.</param>
    public PartDraft ToDraft(IReadOnlyList<PartForm> all) => new()
    {
        Name = Name,
        Figures = [.. Boxes.Select(box => box.Take())],
        Reckoning = Reckoning,
        Reckon = Reckon.ToDraft(),
        IsReckoning = IsReckoning,
        Classes = [.. Classes.Order()],
        Strands = Strands,
        ColourKind = ColourKind,
        Family = Family,
        Families = Families,
        Other = Other is null ? -1 : Array.IndexOf([.. all], Other),
        Hex = Hex,
        Rules = Rules,
        Fibres = [.. Fibres.Order(StringComparer.Ordinal)],
        MaxLots = MaxLots,
        DyeLotsMayMix = DyeLotsMayMix,
    };

    /// <summary>As it stood; <see cref="Other"/> is for who has all parts.</summary>
    public static PartForm Of(PartDraft draft, PersonDisplay display, bool sameUnit)
    {
        PartForm form = new(display)
        {
            Name = draft.Name,
            Reckoning = draft.Reckoning,
            IsReckoning = draft.IsReckoning,
            Strands = draft.Strands,
            ColourKind = draft.ColourKind,
            Family = draft.Family,
            Families = draft.Families,
            Hex = draft.Hex,
            Rules = draft.Rules,
            MaxLots = draft.MaxLots,
            DyeLotsMayMix = draft.DyeLotsMayMix,
        };
        foreach ((UnitBox box, TypedFigure? figure) in form.Boxes.Zip(draft.Figures))
        {
            box.PutBack(figure, sameUnit);
        }

        form.Reckon.PutBack(draft.Reckon, sameUnit);
        form.Classes.UnionWith(draft.Classes);
        form.Fibres.UnionWith(draft.Fibres);
        return form;
    }

    /// <summary>In the order in which a draft keeps them.</summary>
    private UnitBox[] Boxes => [Low, Likely, Safe, WindowLow, WindowHigh];

    public BookPartInput ToInput() => new()
    {
        Name = Name,
        MetresLow = Low.Kept,
        MetresLikely = Likely.Kept,
        MetresSafe = Safe.Kept,
        Reckoning = Reckoning,
        WeightClasses = [.. Classes],
        WindowLow = WindowLow.Kept,
        WindowHigh = WindowHigh.Kept,
        Strands = PieceForm.Whole(Strands),
        Colour = Wish,
        ColourHex = Hex,
        Rules = Rules,
        OnlyFibres = [.. Fibres],
        MaxLots = PieceForm.Whole(MaxLots),
        DyeLotsMayMix = DyeLotsMayMix,
    };

    private string Wish => ColourKind switch
    {
        ColourWishKind.OneLot => "oneLot",
        ColourWishKind.OneFamily => "oneFamily",
        ColourWishKind.Family => "family:" + Family.Key(),
        ColourWishKind.Palette => "palette:" + (PieceForm.Whole(Families) is >= 0 and < 100 and var count ? count : 0),
        ColourWishKind.Contrast => "contrast:" + Other?.Name,
        ColourWishKind.Match => "match:" + Other?.Name,
        _ => "any",
    };
}
