using GuildStash.Data.Guild;
using GuildStash.Data.Projects;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Features.Holds;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>Yarn of one lot for a part of the piece, in grams or in metres.</summary>
public sealed record KitYarn(string LotCode, string? Part, decimal? Grams, double? Metres);

/// <summary>A kit made by hand.</summary>
/// <param name="WantedPieceId">What the project wants; its project is the kit's.</param>
/// <param name="PieceName">Where nothing is chosen: what it is for.</param>
/// <param name="Pieces">How many it suffices for.</param>
/// <param name="MemberId">Who makes it; null: nobody yet.</param>
/// <param name="Days">Days until its yarn is free again; the guild's setting when null.</param>
public sealed record KitInput(Guid? WantedPieceId, string? PieceName, int? Pieces, IReadOnlyList<KitYarn> Yarn, Guid? MemberId = null, string? Note = null, int? Days = null);

public sealed record MadeKit(Guid Id, string Number);

/// <summary>Puts yarn together by hand. Its lots are promised as any request's are, under the same locks and rules.</summary>
public sealed class MakeKit(GuildWork work)
{
    public const int MostPieces = 1000;

    /// <summary>What a part is called where nobody named one.</summary>
    public const string OnlyPart = "all of it";

    public Task<Outcome<MadeKit>> RunAsync(Guid by, KitInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Volunteer, act => MakeAsync(act, input), cancellation);

    private static async Task<Outcome<MadeKit>> MakeAsync(Act act, KitInput input)
    {
        Check check = new();
        WantedPiece? wanted = null;
        if (input.WantedPieceId is { } wantedId)
        {
            wanted = await act.Db.WantedPieces.Include(w => w.Piece).SingleOrDefaultAsync(w => w.Id == wantedId, act.Cancellation);
            check.That(wanted is not null, "wantedPieceId", "The project wants no such piece any more. Choose another.");
        }

        string name = input.WantedPieceId is null ? check.Needed(input.PieceName, "pieceName", 100) : wanted?.Name ?? "";
        int pieces = input.Pieces ?? 1;
        check.That(pieces is >= 1 and <= MostPieces, "pieces", "A kit is for 1 to {0} pieces; {1} were given.", MostPieces, pieces);
        List<string> parts = [.. input.Yarn.Select((y, i) => check.Text(y.Part, $"{RequestHolds.Prefix(input.Yarn.Count, i)}part", 100))];
        if (check.Failed)
        {
            return check.Refuse<MadeKit>();
        }

        HoldInput holds = new([.. input.Yarn.Select(y => new WantedYarn(y.LotCode, y.Grams, y.Metres))], wanted?.ProjectId, input.MemberId, input.Note, input.Days);
        Outcome<PlacedRequest> placed = await RequestHolds.PlaceAsync(act, holds, isForNobodyYet: input.MemberId is null);
        return placed.IsOk ? await AddAsync(act, input, placed.Value, wanted, name, parts) : Outcome<MadeKit>.Refused(placed.Refusals);
    }

    private static async Task<Outcome<MadeKit>> AddAsync(Act act, KitInput input, PlacedRequest placed, WantedPiece? wanted, string name, List<string> parts)
    {
        int year = GuildClock.Today(await act.Db.Guilds.SingleAsync(act.Cancellation), act.Now).Year;
        Kit kit = new()
        {
            Number = Numbers.Format('K', year, await Numbers.NextAsync(act.Db, Numbers.Kits, year, act.Cancellation)),
            RequestId = placed.Id,
            ProjectId = wanted?.ProjectId,
            WantedPieceId = wanted?.Id,
            PieceId = wanted?.PieceId,
            PieceName = name,
            Pieces = input.Pieces ?? 1,
            GivenAt = input.MemberId is null ? null : act.Now,
            CreatedAt = act.Now,
            CreatedById = act.By.Id,
        };
        kit.Lines.AddRange(placed.Holds.Select((hold, i) => new KitLine
        {
            HoldId = hold.Id,
            Position = i,
            Part = parts[i].Length > 0 ? parts[i] : OnlyPart,
            PlannedMg = hold.Mg,
            Metres = input.Yarn[i].Metres ?? hold.MetresLow ?? 0,
        }));
        act.Db.Kits.Add(kit);
        return new MadeKit(kit.Id, kit.Number);
    }
}
