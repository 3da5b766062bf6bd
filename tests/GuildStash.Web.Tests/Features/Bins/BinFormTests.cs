using System.Security.Claims;
using AngleSharp.Dom;
using Bunit;
using GuildStash.TestSupport;
using GuildStash.TestSupport.Localisation;
using GuildStash.Web.Features.Bins;
using GuildStash.Web.Features.Counting;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Infrastructure.Localisation;
using GuildStash.Web.Tests.Components;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.Bins;

/// <summary>The forms at a bin, with the use cases and the database behind them.</summary>
public sealed class BinFormTests(PostgresFixture postgres) : ShellTest
{
    [Fact]
    public async Task Count_WhenTheScaleDiffers_ShowsTheDifferenceBeforeItIsBooked()
    {
        await using GuildRoom room = await OpenAsync();
        BinView bin = await room.BinAsync("Blues");
        Guid bag = await room.BagAsync();
        LotView lighter = await room.LotAsync(bag, 100, more: l => l with { BinCode = bin.Code });
        LotView missing = await room.LotAsync(bag, 50, more: l => l with { BinCode = bin.Code });
        await room.LotAsync(bag, 20, more: l => l with { BinCode = bin.Code });
        await room.LotAsync(bag, null, more: l => l with { BinCode = bin.Code });
        List<string> done = [];
        IRenderedComponent<CountForm> form = Ui.Render<CountForm>(p => p.Add(c => c.Bin, bin).Add(c => c.OnDone, done.Add));
        await form.PressAsync("Begin the count");
        form.WaitForElement("form", RoomPages.Patience);

        Assert.Equal(3, form.FindAll(".count-row").Count);
        Assert.DoesNotContain("100", form.Find("form").TextContent, StringComparison.Ordinal);
        await form.InvokeAsync(() => Row(form, lighter).QuerySelector("input[type=text]")!.Input("97,5"));
        await form.InvokeAsync(() => Row(form, missing).QuerySelector("input[type=checkbox]")!.Change(true));
        await form.Find("form").SubmitAsync();
        form.WaitForElement("tbody");

        string[] lines = [.. form.FindAll("tbody tr").Select(line => string.Join('|', line.QuerySelectorAll("td").Skip(1).Select(cell => cell.TextContent.Trim())))];
        Assert.Contains("100|97.5|−2.5|± 4.5|taken off as a count difference", lines);
        Assert.Contains("50|0|−50|± 4|a second person is asked; then it is gone missing", lines);
        Assert.Equal(100_000, (await room.ReadAsync(lighter.Code)).OnHandMg);
        Assert.Empty(done);

        await form.FindAll("button").Single(button => button.TextContent == "End it and ask a second person").ClickAsync(new());
        form.WaitForAssertion(() => Assert.Equal(["2 lots are counted. 1 difference is booked. 1 difference is beyond its tolerance and waits for a second person."], done), RoomPages.Patience);
        Assert.Equal(97_500, (await room.ReadAsync(lighter.Code)).OnHandMg);
        Assert.Equal(50_000, (await room.ReadAsync(missing.Code)).OnHandMg);
        await room.ApproveAllAsync();
        Assert.Equal(LotStatus.Closed, (await room.ReadAsync(missing.Code)).Status);
    }

    [Fact]
    public async Task Count_WhenMoreIsPromised_TheRefusalStandsAtItsRow()
    {
        await using GuildRoom room = await OpenAsync();
        BinView bin = await room.BinAsync("Blues");
        Guid bag = await room.BagAsync();
        await room.LotAsync(bag, 100, more: l => l with { BinCode = bin.Code });
        LotView promised = await room.LotAsync(bag, 100, more: l => l with { BinCode = bin.Code });
        await room.HoldAsync(promised.Code, 60);
        IRenderedComponent<CountForm> form = Ui.Render<CountForm>(p => p.Add(c => c.Bin, bin));
        await form.PressAsync("Begin the count");
        form.WaitForElement("form", RoomPages.Patience);

        await form.InvokeAsync(() => Row(form, promised).QuerySelector("input[type=text]")!.Input("59"));
        await form.Find("form").SubmitAsync();

        form.WaitForAssertion(() => Assert.Contains("60 g of lot", Spaces.Plain(Row(form, promised).QuerySelector(".field-error")!.TextContent), StringComparison.Ordinal), RoomPages.Patience);
        Assert.Empty(form.FindAll("tbody"));
    }

    [Fact]
    public async Task Put_WhenCodesAreScanned_APileGrowsAndIsBookedTogether()
    {
        await using GuildRoom room = await OpenAsync();
        BinView bin = await room.BinAsync("Blues");
        Guid bag = await room.BagAsync();
        LotView first = await room.LotAsync(bag);
        LotView second = await room.LotAsync(bag);
        List<string> done = [];
        IRenderedComponent<PutLotsHere> form = Ui.Render<PutLotsHere>(p => p.Add(c => c.Bin, bin).Add(c => c.OnDone, done.Add));

        await ScanAsync(form, $"HTTPS://ROOM.EXAMPLE.ORG/L/{first.Code}");
        await ScanAsync(form, first.Display);
        await ScanAsync(form, "K7M4-P9X");
        Assert.Contains("does not fit its check character", form.Find(".field-error").TextContent, StringComparison.Ordinal);
        Assert.Equal("K7M4-P9X", form.Find("#put-codes").GetAttribute("value"));
        await ScanAsync(form, second.Display);

        Assert.Equal([first.Display, second.Display], form.FindAll(".pile .code").Select(code => code.TextContent));
        await form.FindAll("button").Single(button => button.TextContent == $"Put 2 lots into {bin.Display}").ClickAsync(new());
        form.WaitForAssertion(() => Assert.Equal([$"2 lots are in bin {bin.Display} now."], done));
        Assert.Equal(bin.Code, (await room.ReadAsync(second.Code)).BinCode);
    }

    [Fact]
    public async Task Put_WhenALotIsInQuarantine_ItStaysOnThePileWithASentence()
    {
        await using GuildRoom room = await OpenAsync();
        BinView bin = await room.BinAsync("Blues");
        LotView apart = await room.LotAsync(await room.BagAsync(1000, "damp"));
        IRenderedComponent<PutLotsHere> form = Ui.Render<PutLotsHere>(p => p.Add(c => c.Bin, bin));

        await ScanAsync(form, apart.Code);
        await form.FindAll("button").Single(button => button.TextContent.StartsWith("Put 1 lot", StringComparison.Ordinal)).ClickAsync(new());

        form.WaitForAssertion(() => Assert.Equal($"Lot {apart.Display} is in quarantine and lies in quarantine bins only. Release it after an inspection first.", form.Find(".field-error").TextContent.Trim()));
        Assert.Single(form.FindAll(".pile li"));
    }

    [Fact]
    public async Task Show_WhenInThePseudoLanguage_NothingStaysInEnglish()
    {
        await using GuildRoom room = await OpenAsync();
        BinView bin = await room.BinAsync("Blues", litres: 20);
        LotView lot = await room.LotAsync(await room.BagAsync(), more: l => l with { BinCode = bin.Code, ColourHex = "#4f6d8f" });
        await room.DoAsync<BeginCount, Guid>(u => u.RunAsync(room.Volunteer, bin.Code, GuildRoom.Cancellation));
        Read(PseudoLanguage.CultureName);
        IRenderedComponent<CountForm> count = Ui.Render<CountForm>(p => p.Add(c => c.Bin, bin));
        count.WaitForElement("form", RoomPages.Patience);
        IRenderedComponent<PutLotsHere> put = Ui.Render<PutLotsHere>(p => p.Add(c => c.Bin, bin));
        await ScanAsync(put, lot.Code);

        Assert.Empty(UntranslatedText.Find(count.Markup + put.Markup + Ui.Render<BinRows>(p => p.Add(c => c.Bins, [bin]).Add(c => c.Chosen, [])).Markup + Ui.Render<BinForm>(p => p.Add(c => c.Bin, bin)).Markup));
    }

    private static IElement Row(IRenderedComponent<CountForm> form, LotView lot) =>
        form.FindAll(".count-row").Single(row => row.TextContent.Contains(lot.Display, StringComparison.Ordinal));

    private static async Task ScanAsync(IRenderedComponent<PutLotsHere> form, string code)
    {
        await form.InvokeAsync(() => form.Find("#put-codes").Change(code));
        await form.Find("form").SubmitAsync();
    }

    private async Task<GuildRoom> OpenAsync()
    {
        GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Ui.UseRoom(room);
        Person.SetAuthorized("volunteer@example.org").SetRoles("volunteer");
        Person.SetClaims(new Claim(ClaimTypes.NameIdentifier, room.Volunteer.ToString()));
        return room;
    }
}
