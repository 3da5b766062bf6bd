using GuildStash.Data;
using GuildStash.Data.Ledger;
using GuildStash.Data.People;
using GuildStash.Domain.Projects;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.HandOver;
using GuildStash.Web.Features.Inventory;
using GuildStash.Web.Features.People;
using GuildStash.Web.Tests.Support;
using Xunit;

namespace GuildStash.Web.Tests.Features.SafeKeeping;

/// <summary>A guild with some of everything, and a temporary folder for its archives.</summary>
internal sealed class BusyRoom : IAsyncDisposable
{
    private BusyRoom(DeskRoom desk) => Desk = desk;

    public DeskRoom Desk { get; }

    public GuildRoom Guild => Desk.Guild;

    public string Folder { get; } = OpenFolder();

    /// <summary>The books are spoilt on purpose, so they are not audited at the end.</summary>
    public bool IsSpoilt { get; set; }

    public string Token { get; private set; } = "";

    public string PathOf(string name) => Path.Combine(Folder, name);

    public static async Task<BusyRoom> OpenAsync(PostgresFixture postgres)
    {
        BusyRoom room = new(await DeskRoom.OpenAsync(postgres));
        DeskRoom desk = room.Desk;
        LotView first = await desk.LotAsync(150, lot => lot with { Notes = "=1+1 \"quoted\" \\ back\nnext line", DyeLot = "Ä 17" });
        LotView second = await desk.LotAsync(80);
        await desk.LotAsync(40, null, "damp");
        Guid project = await desk.ProjectAsync(rules: RecipientRules.WashableOnly);
        await desk.HoldAsync(first, 30, project: project);
        HandedOver taken = await desk.TakenHomeAsync(second, 50, project);
        Assert.True((await desk.TryTakeBackAsync(taken.Id, new ReturnInput(20))).IsOk);
        await using GuildDbContext db = room.Guild.Look();
        Outcome<string> token = await TokenIssuer.IssueAsync(db, "admin@example.org", "scale", Domain.People.TokenScope.Write, GuildRoom.Cancellation);
        room.Token = token.Value;
        return room;
    }

    public async ValueTask DisposeAsync()
    {
        await (IsSpoilt ? Guild.DisposeAsync() : Desk.DisposeAsync());
        Directory.Delete(Folder, recursive: true);
    }

    /// <summary>As root, a server runs as another user, who must be able to pass through.</summary>
    private static string OpenFolder()
    {
        string folder = Directory.CreateTempSubdirectory("gs-keep-").FullName;
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(folder, File.GetUnixFileMode(folder) | UnixFileMode.GroupExecute | UnixFileMode.OtherExecute);
        }

        return folder;
    }
}
