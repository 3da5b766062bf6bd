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

/// <summary>A piece while it is being typed.</summary>
public sealed class PieceForm
{
    public string? Name { get; set; }

    public PieceCraft Craft { get; set; }

    public bool ForInfants { get; set; }

    public decimal? Minutes { get; set; }

    public string? Notes { get; set; }

    public List<PartForm> Parts { get; } = [];

    /// <summary>The part that was taken out last, and where it stood.</summary>
    public (PartForm Part, int At)? TakenOut { get; private set; }

    /// <summary>Of the piece that was read, so that another's change is not overwritten.</summary>
    public int Version { get; private init; }

    public static PieceForm Of(BookPiece piece, PersonDisplay display)
    {
        PieceForm form = new()
        {
            Name = piece.Name,
            Craft = piece.Craft,
            ForInfants = piece.ForInfants,
            Minutes = piece.Minutes,
            Notes = piece.Notes,
            Version = piece.Version,
        };
        foreach (BookPart part in piece.Parts)
        {
            form.Parts.Add(PartForm.Of(part, form.Parts, display));
        }

        return form;
    }

    public void TakeOut(PartForm part)
    {
        TakenOut = (part, Parts.IndexOf(part));
        Parts.Remove(part);
    }

    public void PutBack()
    {
        if (TakenOut is { } taken)
        {
            Parts.Insert(Math.Min(taken.At, Parts.Count), taken.Part);
            TakenOut = null;
        }
    }

    public BookPieceInput ToInput() => new()
    {
        Name = Name,
        Craft = Craft,
        ForInfants = ForInfants,
        Minutes = Minutes is null ? null : Whole(Minutes) ?? 0,
        Notes = Notes,
        Parts = [.. Parts.Select(part => part.ToInput())],
    };

    /// <summary>Two and a half strands are refused as none.</summary>
    internal static int? Whole(decimal? number) => number is { } n && n == decimal.Truncate(n) && n is > int.MinValue and < int.MaxValue ? (int)n : null;
}
