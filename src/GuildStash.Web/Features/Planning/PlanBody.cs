using System.ComponentModel;
using GuildStash.Data.Projects;
using GuildStash.Domain.Colours;
using GuildStash.Domain.Intake;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Planning.Problem;
using GuildStash.Web.Features.Api;
using GuildStash.Web.Infrastructure.Work;

namespace GuildStash.Web.Features.Planning;

/// <summary>A plan from the guild's own lots.</summary>
internal sealed record PlanBody
{
    [Description("From the piece book (pieceId), of a project (wantedPieceId), or told with name and parts.")]
    public IReadOnlyList<PlanPieceBody?>? Pieces { get; init; }

    [Description("Projects all of whose missing pieces are asked for.")]
    public IReadOnlyList<Guid?>? ProjectIds { get; init; }

    [Description("What pieces of no project are for: its rules hold for them, and their kits are for it.")]
    public Guid? ProjectId { get; init; }

    public string? Name { get; init; }

    [Description("member (when left out): for oneself; room; drive (volunteers); wanted (coordinators): what all open projects lack, which takes no pieces.")]
    public PlanPurpose? Purpose { get; init; }

    [Description("Only lots of these classes; all when left out, as with each of the following.")]
    public IReadOnlyList<WeightClass>? WeightClasses { get; init; }

    public IReadOnlyList<ColourFamily>? ColourFamilies { get; init; }

    [Description("Codes; lots that have at least one of them.")]
    public IReadOnlyList<string?>? Fibres { get; init; }

    [Description("true: machine-washable lots only.")]
    public bool? Washable { get; init; }

    [Description("Codes of bins.")]
    public IReadOnlyList<string?>? Bins { get; init; }

    [Description("Lots on which any of these was noted are left out.")]
    public IReadOnlyList<Conditions>? WithoutConditions { get; init; }

    [Description("0.5 reckons with the likely figures, 0.95 with the low ones, up to 0.99; the guild's when left out.")]
    public double? Safety { get; init; }

    [Description("Time to search in, 0.1 to 600; 20 when left out; members up to 60.")]
    public double? Seconds { get; init; }

    [Description("With a number the same room has the same answer.")]
    public int? Seed { get; init; }

    [Description("Working time of all pieces together.")]
    public int? MinutesLimit { get; init; }

    [Description("Codes of bins that one wishes to empty.")]
    public IReadOnlyList<string?>? EmptyBins { get; init; }

    [Description("Whether yarn that has lain long goes first where nothing else decides.")]
    public bool? OldestFirst { get; init; }
}

internal sealed record PlanPieceBody
{
    public Guid? PieceId { get; init; }

    public Guid? WantedPieceId { get; init; }

    public string? Name { get; init; }

    [Description("Left out for a wanted piece: as many as are missing.")]
    public int? Wanted { get; init; }

    [Description("What one piece counts, 1 to 1,000.")]
    public int? Priority { get; init; }

    public IReadOnlyList<SolvePart?>? Parts { get; init; }

    [Description("Keys of rules beside the recipient's.")]
    public IReadOnlyList<string?>? Rules { get; init; }

    public int? Minutes { get; init; }

    [Description("A family for all parts that don't ask for several colours.")]
    public ColourFamily? ColourFamily { get; init; }

    [Description("A colour to come near to.")]
    public string? ColourHex { get; init; }
}

/// <summary>How a plan becomes kits; everything may be left out, the body too.</summary>
internal sealed record AcceptBody : IMayBeEmpty
{
    [Description("Pieces that lie in a kit together; 1 when left out.")]
    public int? PiecesInKit { get; init; }

    [Description("The same for single kinds.")]
    public IReadOnlyList<PiecesInKitBody?>? Kinds { get; init; }

    [Description("Days until the yarn is free again.")]
    public int? Days { get; init; }
}

internal sealed record PiecesInKitBody(string? Piece = null, int? PiecesInKit = null);

/// <summary>Reads a body into what a plan is asked with.</summary>
internal static class PlanFields
{
    public static Outcome<PlanRequest> Read(PlanBody body)
    {
        Check check = new();
        PlanPurpose purpose = body.Purpose ?? PlanPurpose.Member;
        check.That(purpose != PlanPurpose.WhatIf, "purpose", "What if is asked on the plan's page. Known are member, room, drive and wanted.");
        PlanAsk ask = new()
        {
            Pieces = [.. (body.Pieces ?? []).Take(201).Select((piece, i) => ReadPiece(piece ?? new(), $"pieces[{i}]", check))],
            Projects = [.. (body.ProjectIds ?? []).OfType<Guid>().Distinct()],
            AllProjects = purpose == PlanPurpose.Wanted,
            Lots = new()
            {
                WeightClasses = [.. (body.WeightClasses ?? []).Distinct()],
                ColourFamilies = [.. (body.ColourFamilies ?? []).Distinct()],
                Fibres = [.. (body.Fibres ?? []).Select(code => code ?? "")],
                Washable = body.Washable ?? false,
                Bins = [.. (body.Bins ?? []).Select(code => code ?? "")],
                WithoutConditions = (body.WithoutConditions ?? []).Aggregate(Conditions.None, (all, next) => all | next),
            },
            Safety = body.Safety,
            Seconds = body.Seconds ?? PlanAsk.UsualSeconds,
            Seed = body.Seed,
            MinutesLimit = body.MinutesLimit,
            EmptyBins = [.. (body.EmptyBins ?? []).Select(code => code ?? "")],
            OldestFirst = body.OldestFirst ?? false,
        };
        check.That(purpose != PlanPurpose.Wanted || (ask.Pieces.Count == 0 && ask.Projects.Count == 0), "pieces", "What all open projects lack takes no pieces and no projects of its own.");
        return check.Failed ? check.Refuse<PlanRequest>() : new PlanRequest(purpose, ask, body.Name, body.ProjectId);
    }

    private static AskedPiece ReadPiece(PlanPieceBody piece, string at, Check check)
    {
        bool isTold = piece is { PieceId: null, WantedPieceId: null };
        SolvePiece told = new() { Name = piece.Name, Wanted = piece.Wanted, Priority = piece.Priority, Parts = isTold ? piece.Parts : [], Rules = piece.Rules, Minutes = piece.Minutes };
        PlanPiece read = SolveFields.ReadPiece(told, at, check);
        check.That(piece.ColourHex is null || Domain.Colours.Colour.Parse(piece.ColourHex).IsOk, at + ".colourHex", "\"{0}\" is no colour; six digits such as #2b4a66 are.", piece.ColourHex ?? "");
        return new()
        {
            PieceId = piece.PieceId,
            WantedPieceId = piece.WantedPieceId,
            Name = isTold ? read.Name : null,
            Parts = isTold ? [.. read.Parts.Select((part, i) => ToldPart(part, piece.Parts?.ElementAtOrDefault(i)))] : [],
            Wanted = piece.Wanted,
            Priority = piece.Priority,
            Rules = read.Rules,
            Minutes = piece.Minutes,
            Family = piece.ColourFamily,
            ColourHex = piece.ColourHex,
        };
    }

    private static AskedPart ToldPart(PlanPart part, SolvePart? body) => new()
    {
        Name = part.Name,
        MetresLow = part.Need.Low.Metres,
        MetresLikely = part.Need.Likely.Metres,
        MetresSafe = part.Need.Safe.Metres,
        WeightClasses = part.WeightClasses,
        WindowLow = part.Window?.Low,
        WindowHigh = part.Window?.High,
        Strands = part.Strands,
        Colour = body?.Colour ?? "any",
        ColourHex = body?.ColourHex,
        OnlyFibres = part.OnlyFibres,
        MaxLots = part.MaxLots,
        DyeLotsMayMix = part.DyeLotsMayMix,
    };
}
