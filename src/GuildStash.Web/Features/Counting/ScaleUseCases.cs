using GuildStash.Data.Counting;
using GuildStash.Domain.Counting;
using GuildStash.Domain.People;
using GuildStash.Domain.Quantities;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Counting;

/// <summary>A scale as it is entered.</summary>
public sealed record ScaleInput(string? Name, decimal? DivisionGrams, decimal? CapacityGrams, bool IsVerified, string? Notes);

/// <summary>A check with a known mass.</summary>
/// <param name="IsRight">Within one division, of the scale as it was then.</param>
public sealed record ScaleCheckView(long NominalMg, long ShownMg, bool IsRight, DateTimeOffset At, string By);

/// <summary>A scale as pages show it.</summary>
public sealed record ScaleView
{
    public required Guid Id { get; init; }

    public required string Name { get; init; }

    public required long DivisionMg { get; init; }

    public long? CapacityMg { get; init; }

    public bool IsVerified { get; init; }

    public string Notes { get; init; } = "";

    public bool IsRetired { get; init; }

    public int Version { get; init; }

    public ScaleCheckView? LastCheck { get; init; }

    /// <summary>Its last check is older than <see cref="ScaleRules.CheckMonths"/>, or there is none.</summary>
    public bool CheckIsDue { get; init; }
}

/// <summary>Reads the register of scales.</summary>
public sealed class ScaleReader(GuildWork work)
{
    private const int Most = 200;

    /// <summary>Scales that are in use, for those who weigh.</summary>
    public Task<Outcome<IReadOnlyList<ScaleView>>> InUseAsync(Guid by, CancellationToken cancellation) => ListAsync(by, Role.Volunteer, false, cancellation);

    /// <summary>The whole register.</summary>
    public Task<Outcome<IReadOnlyList<ScaleView>>> AllAsync(Guid by, CancellationToken cancellation) => ListAsync(by, Role.Coordinator, true, cancellation);

    private Task<Outcome<IReadOnlyList<ScaleView>>> ListAsync(Guid by, Role least, bool retired, CancellationToken cancellation) =>
        work.ReadAsync<IReadOnlyList<ScaleView>>(by, least, async act =>
        {
            var rows = await act.Db.Scales.Where(s => retired || s.RetiredAt == null).OrderBy(s => s.RetiredAt != null).ThenBy(s => s.Name).Take(Most).Select(s => new
            {
                Scale = s,
                Last = s.Checks.OrderByDescending(c => c.At).Select(c => new { Check = c, By = act.Db.People.Where(p => p.Id == c.ById).Select(p => p.DisplayName).First() }).FirstOrDefault(),
            }).ToListAsync(act.Cancellation);
            return rows.Select(r => new ScaleView
            {
                Id = r.Scale.Id,
                Name = r.Scale.Name,
                DivisionMg = r.Scale.DivisionMg,
                CapacityMg = r.Scale.CapacityMg,
                IsVerified = r.Scale.IsVerified,
                Notes = r.Scale.Notes,
                IsRetired = r.Scale.RetiredAt is not null,
                Version = r.Scale.Version,
                LastCheck = r.Last is null ? null : new ScaleCheckView(r.Last.Check.NominalMg, r.Last.Check.ShownMg, ScaleRules.IsRight(r.Last.Check.NominalMg, r.Last.Check.ShownMg, r.Last.Check.DivisionMg), r.Last.Check.At, r.Last.By),
                CheckIsDue = r.Last is null || r.Last.Check.At.AddMonths(ScaleRules.CheckMonths) < act.Now,
            }).ToArray();
        }, cancellation);
}

/// <summary>Adds a scale or changes what is written about it.</summary>
public sealed class SaveScale(GuildWork work)
{
    /// <param name="id">Null: a new one.</param>
    /// <param name="version">The version that the person saw.</param>
    public Task<Outcome<Guid>> RunAsync(Guid by, Guid? id, int version, ScaleInput input, CancellationToken cancellation) =>
        work.WriteAsync(by, Role.Coordinator, act => SaveAsync(act, id, version, input), cancellation);

    private static async Task<Outcome<Guid>> SaveAsync(Act act, Guid? id, int version, ScaleInput input)
    {
        Scale? scale = id is { } known
            ? await act.Db.Scales.SingleOrDefaultAsync(s => s.Id == known, act.Cancellation)
            : new Scale { Name = "", CreatedAt = act.Now, CreatedById = act.By.Id };
        if (scale is null)
        {
            return Refusal.NotFound("There is no such scale.");
        }

        if (scale.Version != version)
        {
            return Refusal.Conflict("changed-meanwhile", "Somebody else changed this scale meanwhile. Reload to see the present state, then enter your change again.");
        }

        Check check = new();
        scale.Name = check.Needed(input.Name, "name", 100);
        scale.Notes = check.Text(input.Notes, "notes", 1000);
        scale.IsVerified = input.IsVerified;
        bool inRange = input.DivisionGrams is >= 0.001m and <= 1000;
        check.That(inRange, "divisionGrams", "Enter the scale's smallest step, from {0} to {1} g.", 0.001m, 1000);
        scale.DivisionMg = inRange ? Mass.FromGrams(input.DivisionGrams!.Value).Milligrams : scale.DivisionMg;
        check.That(input.CapacityGrams is null || (input.CapacityGrams > input.DivisionGrams && input.CapacityGrams <= 1_000_000), "capacityGrams", "What it weighs at most lies above its smallest step and is at most {0} g.", 1_000_000);
        check.That(!await act.Db.Scales.AnyAsync(s => s.Name == scale.Name && s.Id != scale.Id, act.Cancellation), "name", "There is a scale of that name already.");
        if (check.Failed)
        {
            return check.Refuse<Guid>();
        }

        scale.CapacityMg = input.CapacityGrams is { } capacity ? Mass.FromGrams(capacity).Milligrams : null;
        (scale.ChangedAt, scale.ChangedById) = (act.Now, act.By.Id);
        if (id is null)
        {
            act.Db.Scales.Add(scale);
        }
        else
        {
            scale.Version++;
        }

        return scale.Id;
    }
}

/// <summary>Takes a scale out of use, or back into it. What was weighed on it stays as it is.</summary>
public sealed class RetireScale(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid id, bool retire, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Coordinator, async act =>
        {
            Scale? scale = await act.Db.Scales.SingleOrDefaultAsync(s => s.Id == id, act.Cancellation);
            if (scale is null)
            {
                return Refusal.NotFound("There is no such scale.");
            }

            scale.RetiredAt = retire ? act.Now : null;
            (scale.ChangedAt, scale.ChangedById) = (act.Now, act.By.Id);
            scale.Version++;
            return true;
        }, cancellation);
}

/// <summary>Writes down what a scale showed for a known mass.</summary>
public sealed class CheckScale(GuildWork work)
{
    /// <returns>Whether it is right: within one division.</returns>
    public Task<Outcome<bool>> RunAsync(Guid by, Guid id, decimal? nominalGrams, decimal? shownGrams, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Coordinator, async act =>
        {
            Check check = new();
            Mass nominal = nominalGrams is { } known ? check.Take(MassLimits.BagMass(known, "nominalGrams")) : default;
            check.That(nominalGrams is not null, "nominalGrams", "Enter the known mass.");
            check.That(shownGrams is >= 0 and <= MassLimits.BagMaxGrams, "shownGrams", "Enter what the scale shows.");
            Scale? scale = await act.Db.Scales.SingleOrDefaultAsync(s => s.Id == id, act.Cancellation);
            if (check.Failed)
            {
                return check.Refuse<bool>();
            }

            if (scale is null)
            {
                return Refusal.NotFound("There is no such scale.");
            }

            long shown = Mass.FromGrams(shownGrams!.Value).Milligrams;
            act.Db.ScaleChecks.Add(new ScaleCheck { ScaleId = scale.Id, NominalMg = nominal.Milligrams, ShownMg = shown, DivisionMg = scale.DivisionMg, At = act.Now, ById = act.By.Id });
            return ScaleRules.IsRight(nominal.Milligrams, shown, scale.DivisionMg);
        }, cancellation);
}

/// <summary>The scale that a weighing was done on, inside a use case.</summary>
internal static class ScaleFinder
{
    /// <summary>Null where none was named; a retired or unknown one goes into the check.</summary>
    public static async Task<Scale?> TakeAsync(Act act, Guid? id, Check check)
    {
        if (id is null)
        {
            return null;
        }

        Scale? scale = await act.Db.Scales.AsNoTracking().SingleOrDefaultAsync(s => s.Id == id && s.RetiredAt == null, act.Cancellation);
        check.That(scale is not null, "scaleId", "This scale is not in use any more. Choose another.");
        return scale;
    }
}
