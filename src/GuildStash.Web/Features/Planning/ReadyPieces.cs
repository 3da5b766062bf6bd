using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.Projects;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Planning.Problem;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Planning;

/// <summary>A kind of piece with what it needs, and what it stands for.</summary>
public sealed record ReadyPiece(PlanPiece Piece, PlannedPiece Source);

/// <summary>The pieces of an ask as they stand now: needs from the piece book, rules from the projects, numbers less what is made or in kits.</summary>
/// <param name="Unplanned">Wanted pieces without a line of the piece book.</param>
/// <param name="IsCovered">Something was asked for, and all of it is in kits or made.</param>
public sealed record ReadyPieces(IReadOnlyList<ReadyPiece> Pieces, IReadOnlyList<WantedGap> Unplanned, bool IsCovered)
{
    public const int MostProjects = 100;
}

/// <summary>Reads them, in a fixed number of queries.</summary>
internal sealed class ReadyPiecesReader(GuildDbContext db, Guid? projectId, DateTimeOffset now, CancellationToken cancellation)
{
    private readonly List<Refusal> _refusals = [];
    private readonly List<WantedGap> _gaps = [];
    private readonly PieceNames _names = new();
    private bool _isCovered;

    public async Task<Outcome<ReadyPieces>> ReadAsync(PlanAsk ask)
    {
        List<AskedPiece> asked = [.. ask.Pieces];
        Dictionary<Guid, (WantedPiece Wanted, Project Project)> wanted = await WantedAsync(ask, asked);
        Project? forProject = projectId is { } id ? await db.Projects.AsNoTracking().SingleOrDefaultAsync(p => p.Id == id, cancellation) : null;
        Guid[] ids = [.. asked.Select(each => each.PieceId).Concat(wanted.Values.Select(each => each.Wanted.PieceId)).OfType<Guid>().Distinct()];
        Dictionary<Guid, Piece> book = await db.Pieces.AsNoTracking().Include(p => p.Parts.OrderBy(part => part.Position)).Where(p => ids.Contains(p.Id)).ToDictionaryAsync(p => p.Id, cancellation);
        Dictionary<Guid, int> covered = await CoveredPieces.OfAsync(db, [.. wanted.Keys], now, cancellation);
        List<ReadyPiece> ready = [];
        for (int i = 0; i < asked.Count; i++)
        {
            ReadyPiece? piece = asked[i].WantedPieceId is { } wantedId
                ? OfWanted(asked[i], i, wanted.TryGetValue(wantedId, out var found) ? found : null, book, covered.GetValueOrDefault(wantedId))
                : OfBook(asked[i], i, book, forProject);
            if (piece is not null)
            {
                ready.Add(piece);
            }
        }

        return _refusals.Count > 0 ? Outcome<ReadyPieces>.Refused(_refusals) : new ReadyPieces(ready, _gaps, _isCovered && ready.Count == 0);
    }

    /// <summary>The wanted pieces that the ask names, and those of its projects, which join the asked ones.</summary>
    private async Task<Dictionary<Guid, (WantedPiece Wanted, Project Project)>> WantedAsync(PlanAsk ask, List<AskedPiece> asked)
    {
        Guid[] named = [.. asked.Select(each => each.WantedPieceId).OfType<Guid>()];
        Guid[] projects = [.. ask.Projects];
        IQueryable<Project> all = ask.AllProjects
            ? db.Projects.Where(p => p.ClosedAt == null)
            : db.Projects.Where(p => projects.Contains(p.Id) || p.Pieces.Any(w => named.Contains(w.Id)));
        List<Project> read = await all.AsNoTracking().Include(p => p.Pieces).ThenInclude(w => w.Piece)
            .OrderBy(p => p.Deadline == null).ThenBy(p => p.Deadline).ThenBy(p => p.Name).ThenBy(p => p.Id).Take(ReadyPieces.MostProjects).ToListAsync(cancellation);
        foreach (Project project in read)
        {
            if (project.ClosedAt is not null)
            {
                _refusals.Add(Refusal.Conflict("project-closed", "The project {0} is closed, so nothing is planned for it. Choose another.", project.Name) with { Field = "projects" });
            }

            if (ask.AllProjects || projects.Contains(project.Id))
            {
                asked.AddRange(project.Pieces.OrderBy(w => w.Position).Where(w => !named.Contains(w.Id)).Select(w => new AskedPiece { WantedPieceId = w.Id }));
            }
        }

        foreach (Guid missing in projects.Except(read.Select(p => p.Id)))
        {
            _refusals.Add(Refusal.Invalid("projects", "There is no project {0}.", missing));
        }

        return read.SelectMany(p => p.Pieces.Select(w => (w, p))).ToDictionary(each => each.w.Id);
    }

    private ReadyPiece? OfWanted(AskedPiece asked, int i, (WantedPiece Wanted, Project Project)? found, Dictionary<Guid, Piece> book, int covered)
    {
        if (found is not { } each)
        {
            _refusals.Add(Refusal.Invalid($"pieces[{i}].wantedPieceId", "No project wants such a piece any more. Choose again."));
            return null;
        }

        (WantedPiece wanted, Project project) = each;
        if (wanted.PieceId is not { } pieceId || !book.TryGetValue(pieceId, out Piece? piece))
        {
            _gaps.Add(new(project.Id, project.Name, wanted.Id, wanted.Name, wanted.Wanted));
            return null;
        }

        int number = (asked.Wanted ?? Math.Max(0, wanted.Wanted - covered)) + asked.More;
        if (number == 0)
        {
            _isCovered = true;
            return null;
        }

        PlannedPiece source = new(_names.Of(wanted.Name, project.Name), wanted.Name, pieceId, wanted.Id, project.Id, project.Name, covered, i);
        return Ready(asked, i, source, number, asked.Priority ?? wanted.Priority, project.Rules, piece);
    }

    private ReadyPiece? OfBook(AskedPiece asked, int i, Dictionary<Guid, Piece> book, Project? project)
    {
        Piece? piece = asked.PieceId is { } id ? book.GetValueOrDefault(id) : null;
        if (asked.PieceId is not null && piece is null)
        {
            _refusals.Add(Refusal.Invalid($"pieces[{i}].pieceId", "There is no such piece in the piece book."));
            return null;
        }

        string label = piece?.Name ?? asked.Name?.Trim() ?? "";
        PlannedPiece source = new(_names.Of(label, project?.Name), label, piece?.Id, null, project?.Id, project?.Name, 0, i);
        return Ready(asked, i, source, (asked.Wanted ?? 0) + asked.More, asked.Priority ?? 1, project?.Rules ?? RecipientRules.None, piece);
    }

    private ReadyPiece? Ready(AskedPiece asked, int i, PlannedPiece source, int wanted, int priority, RecipientRules recipient, Piece? piece)
    {
        RecipientRules rules = asked.Rules | PlanParts.RulesOf(recipient, piece);
        IEnumerable<AskedPart> parts = piece?.Parts.Select(AskedPart.Of) ?? asked.Parts;
        IReadOnlyList<PlanPart> read = PlanParts.Read(parts, asked, $"pieces[{i}]", _refusals);
        PlanPiece made = new()
        {
            Name = source.Name,
            Wanted = wanted,
            Priority = priority,
            Parts = read,
            Rules = rules & ~asked.WithoutRules,
            Minutes = asked.Minutes ?? piece?.Minutes ?? 0,
        };
        return new(made, source with { Rules = made.Rules, PartRules = read.Where(part => part.Rules != RecipientRules.None).DistinctBy(part => part.Name).ToDictionary(part => part.Name, part => part.Rules) });
    }

    /// <summary>Names that no two kinds of a plan share.</summary>
    private sealed class PieceNames
    {
        private readonly HashSet<string> _used = new(StringComparer.OrdinalIgnoreCase);

        public string Of(string label, string? project)
        {
            string name = label;
            for (int i = 1; name.Length > 0 && !_used.Add(name); i++)
            {
                string end = i == 1 && project is not null ? $" ({project})" : $" ({i + 1})";
                name = label[..Math.Min(label.Length, Math.Max(1, 100 - end.Length))] + end;
                name = name.Length <= 100 ? name : $"{label[..Math.Min(label.Length, 90)]} ({i + 1})";
            }

            return name;
        }
    }
}

/// <summary>Parts of the piece book, or told ones, as the planner takes them: for plans, for the book's own checks, and for kits.</summary>
internal static class PlanParts
{
    /// <summary>What is for infants never takes yarn that smelled of mothballs, whoever it goes to.</summary>
    public static RecipientRules RulesOf(RecipientRules recipient, Piece? piece) => recipient | (piece is { ForInfants: true } ? RecipientRules.InfantOrHospital : RecipientRules.None);

    /// <param name="at">The piece's place in the ask, which refusals name: "pieces[0]".</param>
    public static IReadOnlyList<PlanPart> Read(IEnumerable<AskedPart> parts, AskedPiece asked, string at, List<Refusal> refusals) =>
        [.. parts.Select((part, n) => Read(part, asked, $"{at}.parts[{n}]", refusals)).OfType<PlanPart>()];

    private static PlanPart? Read(AskedPart part, AskedPiece asked, string at, List<Refusal> refusals)
    {
        Outcome<LengthNeed> need = part.MetresLow == part.MetresSafe
            ? LengthNeed.OfSafe(part.MetresSafe, at + ".metres")
            : LengthNeed.OfRange(part.MetresLow, part.MetresLikely, part.MetresSafe, at + ".metres");
        bool isColour = ColourWish.TryParse(part.Colour, out ColourWish wish);
        if (!need.IsOk || !isColour)
        {
            refusals.AddRange(need.Refusals);
            refusals.AddRange(isColour ? [] : [Refusal.Invalid(at + ".colour", "\"{0}\" is no colour wish.", part.Colour)]);
            return null;
        }

        (ColourWish colour, int maxLots) = InFamily(wish, part.MaxLots, asked);
        return new()
        {
            Name = part.Name,
            Need = need.Value,
            WeightClasses = part.WeightClasses,
            Window = part is { WindowLow: { } low, WindowHigh: { } high } ? new(low, high) : null,
            Strands = part.Strands,
            Colour = colour with { Target = ColourOf(asked.ColourHex ?? part.ColourHex) },
            Rules = part.Rules & ~asked.WithoutRules,
            OnlyFibres = part.OnlyFibres,
            MaxLots = maxLots,
            DyeLotsMayMix = part.DyeLotsMayMix,
        };
    }

    /// <summary>A wished family replaces what asks for one colour or for none; what asks for several, or refers to another part, keeps its wish.</summary>
    private static (ColourWish Wish, int MaxLots) InFamily(ColourWish wish, int maxLots, AskedPiece asked) => (asked.Family, wish.Kind) switch
    {
        ({ } family, ColourWishKind.OneLot) => (ColourWish.Of(family), 1),
        ({ } family, ColourWishKind.Any or ColourWishKind.OneFamily or ColourWishKind.Family) => (ColourWish.Of(family), maxLots),
        _ => (wish, maxLots),
    };

    private static Domain.Colours.Colour? ColourOf(string? hex) =>
        hex is not null && Domain.Colours.Colour.Parse(hex) is { IsOk: true } colour ? colour.Value : null;
}

/// <summary>How many of a project's wanted pieces need no yarn any more: they lie in a kit, or are made.</summary>
internal static class CoveredPieces
{
    public static async Task<Dictionary<Guid, int>> OfAsync(GuildDbContext db, Guid[] wanted, DateTimeOffset now, CancellationToken cancellation)
    {
        if (wanted.Length == 0)
        {
            return [];
        }

        var kits = await db.Kits.AsNoTracking().Where(k => k.WantedPieceId != null && wanted.Contains(k.WantedPieceId.Value))
            .Select(k => new
            {
                k.Id,
                Wanted = k.WantedPieceId!.Value,
                k.Pieces,
                IsLive = k.Lines.Any() && k.Lines.All(l => l.Hold.State == HoldState.TakenHome || (l.Hold.State == HoldState.Active && l.Hold.ExpiresAt > now)),
            }).ToListAsync(cancellation);
        var records = await db.PieceRecords.AsNoTracking().Where(r => r.WantedPieceId != null && wanted.Contains(r.WantedPieceId.Value) && r.Step != PieceStep.Started)
            .GroupBy(r => new { Wanted = r.WantedPieceId!.Value, r.KitId, r.Step })
            .Select(g => new { g.Key.Wanted, g.Key.KitId, g.Key.Step, Pieces = g.Sum(r => r.Pieces) }).ToListAsync(cancellation);

        // A delivered piece was finished before, of a kit or not, and what is made of a kit is in the kit's number: the larger counts, not the sum.
        int Of(Guid piece, PieceStep step, Func<Guid?, bool> kit) => records.Where(r => r.Wanted == piece && r.Step == step && kit(r.KitId)).Sum(r => r.Pieces);
        Dictionary<Guid, int> covered = wanted.ToDictionary(id => id, id => Math.Max(
            Of(id, PieceStep.Finished, kit => kit is null), Of(id, PieceStep.Delivered, _ => true) - Of(id, PieceStep.Finished, kit => kit is not null)));
        foreach (var kit in kits)
        {
            covered[kit.Wanted] += Math.Max(kit.IsLive ? kit.Pieces : 0, Of(kit.Wanted, PieceStep.Finished, id => id == kit.Id));
        }

        return covered;
    }
}
