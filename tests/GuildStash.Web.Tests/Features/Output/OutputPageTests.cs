using Bunit;
using GuildStash.Domain.Projects;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Output;
using GuildStash.Web.Features.Projects;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Output;

/// <summary>The page of what was handed to recipients, and which part of it the address asks for.</summary>
public sealed class OutputPageTests(PostgresFixture postgres) : DeskPages
{
    [Fact]
    public async Task Show_WhenAPartIsAskedFor_AddsUpThatPartAndSaysWhichItIs()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Guid hats = await ProjectAsync(room, "Hats", "Quayside Shelter");
        Guid caps = await ProjectAsync(room, "Caps", "");
        await room.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 12, new DateOnly(2025, 3, 9));
        await room.Guild.RecordAsync(hats, "Hat", PieceStep.Delivered, 7, new DateOnly(2024, 12, 31));
        await room.Guild.RecordAsync(caps, "Cap", PieceStep.Delivered, 5, new DateOnly(2025, 5, 1));
        Enter(room, room.Member);
        IRenderedComponent<OutputPage> page = Open<OutputPage>("/output");

        Says(page, ".sum", "24 pieces, 0 yd of yarn, 0 g");
        Assert.Equal(["All years", "2025", "2024"], page.FindAll("#year option").Select(o => o.TextContent));
        Assert.Equal(["", "-", "Quayside Shelter"], page.FindAll("#recipient option").Select(o => o.GetAttribute("value")));
        Assert.Equal("/csv/output.csv", page.Find("a[download]").GetAttribute("href"));
        Assert.Empty(page.FindAll("input[name=unit]"));

        Navigation.NavigateTo("/output?year=2025&recipient=Quayside%20Shelter&unit=grams");
        Says(page, ".sum", "12 pieces, 0 yd of yarn, 0 g · for Quayside Shelter in 2025");
        Assert.Equal("/csv/output.csv?year=2025&recipient=Quayside%20Shelter", page.Find("a[download]").GetAttribute("href"));
        Assert.Equal(("2025", "Quayside Shelter", "grams"), (page.Find("#year option[selected]").GetAttribute("value"), page.Find("#recipient option[selected]").GetAttribute("value"), page.Find("input[name=unit]").GetAttribute("value")));
        Navigation.NavigateTo("/output?recipient=-");
        Says(page, ".sum", "5 pieces, 0 yd of yarn, 0 g · for no recipient named");
        Navigation.NavigateTo("/output?year=2024");
        Says(page, ".sum", "7 pieces, 0 yd of yarn, 0 g · 2024");

        await room.Guild.RecordAsync(caps, "Cap", PieceStep.Delivered, 1, new DateOnly(2023, 5, 1));
        Says(Open<OutputPage>("/output?year=2023"), ".sum", "1 piece, 0 yd of yarn, 0 g · 2023");
        Navigation.NavigateTo("/output?year=2024&recipient=-");
        Says(page, ".empty h2", "Nothing in this part");
        Assert.Equal("/output", page.Find(".empty a").GetAttribute("href"));
        Assert.Empty(page.FindAll("a[download], table"));
    }

    [Fact]
    public async Task Show_WhenYarnOfUnknownLengthWasUsed_SaysWhatTheLengthsLack()
    {
        await using DeskRoom room = await DeskRoom.OpenAsync(postgres);
        Enter(room, room.Member);
        IRenderedComponent<OutputPage> nothing = Open<OutputPage>("/output");
        Says(nothing, ".empty h2", "Nothing is finished yet");
        Assert.Empty(nothing.FindAll("form, a[download]"));

        Guid hats = await ProjectAsync(room, "Hats", "Quayside Shelter");
        LotView unknown = await room.LotAsync(100, lot => lot with { WeightClass = null });
        HandedOver home = await room.TakenHomeAsync(unknown, 40, hats);
        await room.Guild.DoAsync<FinishCheckout, bool>(u => u.RunAsync(room.Volunteer, home.Id, GuildRoom.Cancellation));
        IRenderedComponent<OutputPage> page = Open<OutputPage>("/output");

        Says(page, ".sum", "0 pieces, 0 yd of yarn, 40 g");
        Says(page, "40 g of it are of lots whose length nobody knows; they are missing in the lengths.");
    }

    private static Task<Guid> ProjectAsync(DeskRoom room, string name, string recipient) => room.Guild.DoAsync<CreateProject, Guid>(
        u => u.RunAsync(room.Coordinator, new ProjectInput { Name = name, Recipient = recipient, Pieces = [new PieceInput(name.TrimEnd('s'), 60, "")] }, GuildRoom.Cancellation));
}
