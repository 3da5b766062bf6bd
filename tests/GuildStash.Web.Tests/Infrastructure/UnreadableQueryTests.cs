using System.Net;
using GuildStash.TestSupport;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Infrastructure;

/// <summary>Words of an address that nothing can be done with are left out of it.</summary>
public sealed class UnreadableQueryTests(PostgresFixture postgres)
{
    [Fact]
    public async Task Open_WhenAWordCantBeRead_LeadsToTheSamePageWithoutIt()
    {
        await using WebRoom room = await WebRoom.OpenAsync(postgres);
        using Visitor member = await room.SignInAsync("member@example.org");

        foreach ((string asked, string? target) in new[]
        {
            ("/inventory/lots?q=%00&class=dk", "/inventory/lots?class=dk"),
            ("/inventory/lots?%00=blue&class=dk", "/inventory/lots?class=dk"),
            ("/csv/lots.csv?q=a%00b&dyeLot=7", "/csv/lots.csv?dyeLot=7"),
            ("/inventory/lots?page=many", "/inventory/lots"),
            ("/inventory/lots?q=%25&page=1", null),
        })
        {
            using HttpResponseMessage answer = await member.GetAsync(asked);
            Assert.Equal((target is null ? HttpStatusCode.OK : HttpStatusCode.Redirect, target), (answer.StatusCode, member.Target(answer)));
        }
    }
}
