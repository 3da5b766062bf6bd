using System.Buffers;
using System.Text.RegularExpressions;
using GuildStash.TestSupport;
using GuildStash.Web.Features.Intake;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.Sorting;
using GuildStash.Web.Infrastructure;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure;

/// <summary>What pages keep from their first drawing, which the browser sends back in one message of limited size.</summary>
public sealed partial class BoundedStateTests(PostgresFixture postgres)
{
    private const string TwoBytes = "🧶";

    [Fact]
    public void Restore_WhenAValueWasKept_GivesItBackAndNothingForOneTooLarge()
    {
        BoundedState<string> state = new();

        Assert.Equal("a few words", state.Restore(Kept(state, "a few words")));
        Assert.Equal(new string('a', BoundedState.LargestValue - 2), state.Restore(Kept(state, new string('a', BoundedState.LargestValue - 2))));
        Assert.True(Kept(state, new string('a', BoundedState.LargestValue - 1)).IsEmpty);
        Assert.Null(state.Restore(default));
    }

    // Every field as long as it may be, in letters that take the most room.
    [Fact]
    public async Task Open_WhenFieldsAreFull_NoPageKeepsMoreThanOneMessageTakes()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        GuildRoom guild = room.Guild;
        for (int i = 0; i < 3; i++)
        {
            LoggedGift gift = await guild.DoAsync<LogGift, LoggedGift>(u => u.RunAsync(guild.Volunteer, new GiftInput
            {
                DonorName = $"{i}{Full(198)}",
                Wishes = Full(1000),
                Notes = Full(4000),
                Bags = [.. Enumerable.Repeat(new BagInput(5000, 50, []), 5)],
            }, GuildRoom.Cancellation));
            for (int lot = 0; lot < 10 && i == 2; lot++)
            {
                await guild.LotAsync(gift.Bags[0].Id, 100, more: l => l with { Notes = Full(2000), DyeLot = Full(40), CareNotes = Full(200), ColourHex = "#4f6d8f", Wraps = new WrapsInput(13, 1) });
            }

            using Visitor volunteer = await room.SignInAsync("volunteer@example.org");
            foreach (string page in new[] { "/", "/intake", $"/intake/{gift.Id}", "/sorting", $"/sorting/{gift.Bags[0].Id}" })
            {
                using HttpResponseMessage answer = await volunteer.GetAsync(page);
                string html = await answer.Content.ReadAsStringAsync(GuildRoom.Cancellation);
                Match state = State().Match(html);
                Assert.True(state.Success, $"{page} keeps nothing.");
                Assert.True(state.Groups[1].Length < BoundedState.LargestMessage * 3 / 4, $"{page} keeps {state.Groups[1].Length:N0} letters.");
            }
        }
    }

    private static string Full(int letters) => string.Concat(Enumerable.Repeat(TwoBytes, letters / TwoBytes.Length));

    private static ReadOnlySequence<byte> Kept(BoundedState<string> state, string value)
    {
        ArrayBufferWriter<byte> writer = new();
        state.Persist(value, writer);
        return new(writer.WrittenMemory);
    }

    [GeneratedRegex("<!--Blazor-Server-Component-State:([^>]*)-->")]
    private static partial Regex State();
}
