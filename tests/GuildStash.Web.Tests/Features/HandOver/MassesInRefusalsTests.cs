using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Kits;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Tests.Features.Kits;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.HandOver;

/// <summary>What a plan held to the milligram is told to a tenth of a gram, as everywhere else.</summary>
public sealed class MassesInRefusalsTests(PostgresFixture postgres) : DeskPages
{
    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Refuse_WhenMilligramsArePromised_SaysATenthOfAGram()
    {
        await using KitRoom room = await KitRoom.OpenAsync(postgres);
        DeskRoom desk = room.Desk;
        LotView lot = await desk.LotAsync(150.049m);
        KitView kit = await room.KitAsync([(lot, 50.049m)]);
        await desk.RunOutAsync(kit.Lines[0].HoldId);
        await desk.HoldAsync(lot, 136.951m);
        LotView whole = await desk.LotAsync(100.049m);

        Says("137 g of this lot are promised to members, more", await room.UseAsync<WeighLot, WeighedLot>(u => u.RunAsync(desk.Volunteer, lot.Id, 30, null, Cancellation)));
        Says("137 g of this lot are promised to members. Cancel", await room.UseAsync<QuarantineLot, bool>(u => u.RunAsync(desk.Volunteer, lot.Id, "damp", null, Cancellation)));
        Says("Others hold 137 g of lot", await desk.TryHandOverAsync(new HandOverInput(LotCode: lot.Code, MemberId: desk.Member, Grams: 150, WholeLot: true)));
        Says("The scale shows 50 g and the books have 100 g of lot", await desk.TryHandOverAsync(new HandOverInput(LotCode: whole.Code, MemberId: desk.Member, Grams: 50.003m, WholeLot: true)));
        Says($"50 g of lot {lot.Display} were in this kit, and 13.1 g are free now.", await room.UseAsync<KeepKit, DateTimeOffset>(u => u.RunAsync(desk.Volunteer, kit.Id, 30, Cancellation)));
    }

    private void Says<T>(string words, Outcome<T> refused) => Assert.StartsWith(words, Spaces.Plain(Display.Say(Assert.Single(refused.Refusals).Sentence)), StringComparison.Ordinal);
}
