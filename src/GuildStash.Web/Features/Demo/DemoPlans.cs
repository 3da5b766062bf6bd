using GuildStash.Data.Projects;
using GuildStash.Domain.WeightClasses;
using GuildStash.Web.Features.Planning;

namespace GuildStash.Web.Features.Demo;

/// <summary>A plan that waits when the demo is loaded, so that the program seeks it as soon as it serves.</summary>
internal static class DemoPlans
{
    private static readonly DemoMoment Asked = new(1, 18 * 60);

    public static async Task AskAsync(DemoGuild guild, Guid coordinator, CancellationToken cancellation) =>
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
