using GuildStash.Data.Projects;
using GuildStash.Domain.Rules;
using GuildStash.Planning.Problem;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Projects;

/// <summary>
/// The wanted pieces of a project as they were entered, beside those that stand there. Kits and records of progress refer to a row, so a
/// changed one stays the same row.
/// </summary>
internal sealed class WantedPieceList(Act act, Project project, Check check)
{
    public const int MostPieces = 50;

    /// <summary>Of one kind: what a plan takes, too. A number that stood there before, from when more were taken, may stay.</summary>
    public const int MostWanted = PlanPiece.MostWanted;
    public const int MostPriority = 1_000;

    private readonly List<(WantedPiece Row, WantedPiece Entered)> _kept = [];
    private readonly List<WantedPiece> _added = [];
    private List<WantedPiece> _removed = [];

    /// <summary>Reads and checks; nothing is changed yet.</summary>
    public async Task ReadAsync(IReadOnlyList<PieceInput> inputs)
    {
        check.That(inputs.Count <= MostPieces, "pieces", "A project has at most {0} kinds of pieces; {1} were given.", MostPieces, inputs.Count);
        PieceInput[] read = [.. inputs.Take(MostPieces)];
        WantedPiece?[] rows = Rows(read);
        for (int i = 0; i < read.Length; i++)
        {
            WantedPiece entered = Read(read[i], i, rows[i]?.Wanted);
            if (rows[i] is { } row)
            {
                _kept.Add((row, entered));
            }
            else
            {
                _added.Add(entered);
            }
        }

        _removed = [.. project.Pieces.Except(rows.OfType<WantedPiece>())];
        await CheckPieceBookAsync();
        await CheckRemovedAsync();
    }

    /// <summary>Changes the project's rows to what was read.</summary>
    public void Write()
    {
        foreach ((WantedPiece row, WantedPiece entered) in _kept)
        {
            row.Position = entered.Position;
            row.Name = entered.Name;
            row.Wanted = entered.Wanted;
            row.PieceId = entered.PieceId;
            row.Priority = entered.Priority;
            row.Notes = entered.Notes;
        }

        foreach (WantedPiece row in _removed)
        {
            project.Pieces.Remove(row);
            act.Db.WantedPieces.Remove(row);
        }

        project.Pieces.AddRange(_added);
    }

    /// <summary>The row that each input changes: the one it names, else the one of its name that no other input names, else none.</summary>
    private WantedPiece?[] Rows(PieceInput[] inputs)
    {
        WantedPiece?[] rows = new WantedPiece?[inputs.Length];
        for (int i = 0; i < inputs.Length; i++)
        {
            if (inputs[i].Id is { } id)
            {
                WantedPiece? row = project.Pieces.SingleOrDefault(p => p.Id == id);
                check.That(row is not null && !rows.Contains(row), $"pieces[{i}].id", "This piece is not one of the project's, or stands in the list twice. Reload the project, then enter your change again.");
                rows[i] = rows.Contains(row) ? null : row;
            }
        }

        for (int i = 0; i < inputs.Length; i++)
        {
            string? name = inputs[i].Name?.Trim();
            rows[i] ??= inputs[i].Id is null ? project.Pieces.FirstOrDefault(p => string.Equals(p.Name, name, StringComparison.OrdinalIgnoreCase) && !rows.Contains(p)) : null;
        }

        return rows;
    }

    private WantedPiece Read(PieceInput piece, int i, int? before)
    {
        int wanted = piece.Wanted ?? 0;
        if (piece.Wanted is null)
        {
            check.Add(Refusal.Invalid($"pieces[{i}].wanted", "Say how many of these are wanted: a whole number from 1 to {0:N0}.", MostWanted));
        }
        else
        {
            check.That(wanted is >= 1 and <= MostWanted || wanted == before, $"pieces[{i}].wanted", "{0} pieces can't be wanted; allowed are 1 to {1:N0}.", wanted, MostWanted);
        }

        int priority = piece.Priority ?? 1;
        check.That(priority is >= 1 and <= MostPriority, $"pieces[{i}].priority", "A priority of {0}: a whole number from 1 to {1:N0} is allowed, the more the earlier.", priority, MostPriority);
        return new WantedPiece
        {
            ProjectId = project.Id,
            Position = i,
            Name = check.Needed(piece.Name, $"pieces[{i}].name", 100),
            Wanted = wanted,
            PieceId = piece.PieceId,
            Priority = priority,
            Notes = check.Text(piece.Notes, $"pieces[{i}].notes", 500),
        };
    }

    /// <summary>A retired line of the piece book may stay where it stands, but is not chosen anew.</summary>
    private async Task CheckPieceBookAsync()
    {
        Dictionary<Guid, WantedPiece> before = _kept.ToDictionary(pair => pair.Entered.Id, pair => pair.Row);
        WantedPiece[] chosen = [.. _kept.Select(pair => pair.Entered).Concat(_added).Where(p => p.PieceId is not null && before.GetValueOrDefault(p.Id)?.PieceId != p.PieceId)];
        if (chosen.Length == 0)
        {
            return;
        }

        Guid?[] ids = [.. chosen.Select(p => p.PieceId).Distinct()];
        var known = await act.Db.Pieces.Where(p => ids.Contains(p.Id)).Select(p => new { p.Id, p.Name, IsRetired = p.RetiredAt != null }).ToDictionaryAsync(p => p.Id, act.Cancellation);
        foreach (WantedPiece piece in chosen)
        {
            string field = $"pieces[{piece.Position}].pieceId";
            if (!known.TryGetValue(piece.PieceId!.Value, out var line))
            {
                check.Add(Refusal.Invalid(field, "This piece is not in the piece book. Choose one of the list."));
            }
            else
            {
                check.That(!line.IsRetired, field, "\"{0}\" is retired in the piece book. Bring it back there, or choose another.", line.Name);
            }
        }
    }

    private async Task CheckRemovedAsync()
    {
        if (_removed.Count == 0)
        {
            return;
        }

        Guid[] ids = [.. _removed.Select(p => p.Id)];
        var used = await act.Db.WantedPieces.Where(w => ids.Contains(w.Id)).OrderBy(w => w.Position)
            .Select(w => new { w.Name, Kits = act.Db.Kits.Count(k => k.WantedPieceId == w.Id), Records = act.Db.PieceRecords.Count(r => r.WantedPieceId == w.Id) })
            .Where(w => w.Kits + w.Records > 0).ToListAsync(act.Cancellation);
        foreach (var piece in used)
        {
            Refusal refusal = Refusal.Conflict("piece-in-use", "\"{0}\" can't be taken out: kits ({1}) and records of progress ({2}) are about it. Keep it in the list; where no more are wanted, lower its number to what was made.",
                piece.Name, piece.Kits, piece.Records);
            check.Add(refusal with { Field = "pieces" });
        }
    }
}
