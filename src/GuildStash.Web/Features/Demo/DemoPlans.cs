using GuildStash.Data.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Planning;

namespace GuildStash.Web.Features.Demo;

/// <summary>Plans of the demo guild: what it lacks, reckoned already, and one that waits, so that the program seeks it as soon as it serves.</summary>
internal sealed class DemoPlans(DemoGuild guild, Guid coordinator)
{
    private static readonly DemoMoment Night = new(1, 3 * 60);
    private static readonly DemoMoment Asked = new(1, 18 * 60);

    /// <summary>What all open projects lack; call it while no plan waits. The seed makes it the same for the same room.</summary>
    /// <param name="runner">Seeks it at once.</param>
    public async Task ReckonAsync(PlanRunner runner, CancellationToken cancellation)
    {
        await guild.DoAsync<AskPlan, AskedPlan>(Night, u => u.RunAsync(coordinator, new(PlanPurpose.Wanted, new() { AllProjects = true, Seconds = 1, Seed = 1 }), cancellation));
        await runner.RunNextAsync(cancellation);
    }

    public async Task AskAsync(CancellationToken cancellation) =>
        await guild.DoAsync<AskPlan, AskedPlan>(Asked, u => u.RunAsync(coordinator, new(PlanPurpose.Room, new()
        {
            Pieces = [Piece("Hat", 12, 110, WeightClass.Worsted, WeightClass.Aran, WeightClass.Medium), Piece("Cap", 10, 75, WeightClass.Dk), Piece("Scarf", 4, 160, WeightClass.Bulky, WeightClass.SuperBulky)],
            Seconds = 5,
            OldestFirst = true,
        }, "A table at the autumn market"), cancellation));

    /// <param name="metres">Invented, as all of the demo.</param>
    private static AskedPiece Piece(string name, int wanted, double metres, params WeightClass[] classes) => new()
    {
        Name = name,
        Wanted = wanted,
        Parts = [new() { Name = "Body", MetresLow = metres, MetresLikely = metres, MetresSafe = metres, WeightClasses = classes, MaxLots = 2 }],
    };
}
