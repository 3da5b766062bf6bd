using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Kits;

/// <summary>A part of a piece as the book has it.</summary>
/// <param name="Metres">All strands together at the safe figure, metres.</param>
/// <param name="WeightClasses">Any of these; empty where a window of lengths decides.</param>
public sealed record KitPartChoice(string Name, double Metres, IReadOnlyList<WeightClass> WeightClasses);

/// <summary>Something that an open project wants.</summary>
public sealed record KitChoice(Guid WantedPieceId, string Name, int Wanted, Guid ProjectId, string ProjectName, IReadOnlyList<KitPartChoice> Parts);

/// <summary>What a kit may be for: the wanted pieces of open projects.</summary>
public sealed class KitChoiceReader(GuildWork work)
{
    public const int Most = 500;

    /// <summary>By project and in its order, at most <see cref="Most"/>.</summary>
    public Task<Outcome<List<KitChoice>>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<List<KitChoice>>(by, Role.Volunteer, async act =>
            await (
                from wanted in act.Db.WantedPieces
                join project in act.Db.Projects on wanted.ProjectId equals project.Id
                where project.ClosedAt == null
                orderby project.Name, project.Id, wanted.Position
                select new KitChoice(wanted.Id, wanted.Name, wanted.Wanted, project.Id, project.Name,
                    wanted.Piece!.Parts.OrderBy(p => p.Position).Select(p => new KitPartChoice(p.Name, p.MetresSafe * p.Strands, p.WeightClasses)).ToList()))
                .Take(Most).ToListAsync(act.Cancellation), cancellation);
}
