using System.Buffers.Text;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.TestSupport;
using GuildStash.Web.Features.People;
using GuildStash.Web.Tests.Support;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Xunit;

namespace GuildStash.Web.Tests.Features.People;

/// <summary>A link for a new password, from the administrator to the password.</summary>
public sealed class NewPasswordTests(PostgresFixture postgres)
{
    private const string Chosen = "quite-another-9";
    private const string Void = "new-password-link";

    private static CancellationToken Cancellation => GuildRoom.Cancellation;

    [Fact]
    public async Task Choose_WhenTheLinkHolds_TheNewPasswordOpensTheOldOneNotAndTheLinkIsUsedUp()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewPasswordLink link = await MakeAsync(room, room.Member);
        string? stamp = (await PersonAsync(room)).SecurityStamp;

        string email = await room.DoAsync<ChooseNewPassword, string>(u => u.LookAsync(Secret(link), Cancellation));
        Guid person = await room.DoAsync<ChooseNewPassword, Guid>(u => u.RunAsync(Secret(link), Chosen, Cancellation));
        Outcome<Guid> again = await ChooseAsync(room, Secret(link), "a-third-one-of-mine");

        Assert.Equal(("member@example.org", room.Member), (email, person));
        Assert.Equal((true, false), (await OpensAsync(room, Chosen), await OpensAsync(room, GuildRoom.Password)));
        Assert.NotEqual(stamp, (await PersonAsync(room)).SecurityStamp);
        Refuse.Rule(Void, again);
        Refuse.Rule(Void, await LookAsync(room, Secret(link)));
    }

    [Fact]
    public async Task Make_WhenDone_TellsADayFromNowAndChangesNothing()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Person before = await PersonAsync(room);

        NewPasswordLink link = await MakeAsync(room, room.Member);

        Assert.InRange(link.ExpiresAt - DateTimeOffset.UtcNow, TimeSpan.FromHours(23.9), TimeSpan.FromHours(24.1));
        Assert.Equal((before.PasswordHash, before.SecurityStamp), ((await PersonAsync(room)).PasswordHash, (await PersonAsync(room)).SecurityStamp));
        Refuse.Rule("not-found", await room.UseAsync<MakeNewPasswordLink, Outcome<NewPasswordLink>>(u => u.RunAsync(room.Administrator, Guid.CreateVersion7(), Cancellation)));
    }

    [Theory]
    [InlineData(-23.9, true)]
    [InlineData(-24.1, false)]
    public async Task Choose_WhenADayIsOver_IsRefused(double hours, bool holds)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        string secret = await room.UseAsync<IDataProtectionProvider, string>(async keys => Older(Secret(await MakeAsync(room, room.Member)), hours, keys));

        Assert.Equal(holds, (await LookAsync(room, secret)).IsOk);
        Assert.Equal(holds, (await ChooseAsync(room, secret)).IsOk);
        Assert.Equal(holds, await OpensAsync(room, Chosen));
    }

    [Fact]
    public async Task Choose_WhenThePersonIsSwitchedOff_IsRefusedAlsoAfterwards()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewPasswordLink link = await MakeAsync(room, room.Member);
        await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, room.Member, Cancellation));

        Refuse.Rule(Void, await LookAsync(room, Secret(link)));
        Refuse.Rule(Void, await ChooseAsync(room, Secret(link)));
        Refuse.Rule("account-off", await room.UseAsync<MakeNewPasswordLink, Outcome<NewPasswordLink>>(u => u.RunAsync(room.Administrator, room.Member, Cancellation)));
        await room.DoAsync<EnablePerson, string>(u => u.RunAsync(room.Administrator, room.Member, Cancellation));
        Refuse.Rule(Void, await ChooseAsync(room, Secret(link)));
        Assert.True(await OpensAsync(room, GuildRoom.Password));
    }

    [Fact]
    public async Task Choose_WhenSwitchedOffWithTheSameStamp_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewPasswordLink link = await MakeAsync(room, room.Member);
        await using var db = room.Look();
        await db.People.Where(p => p.Id == room.Member).ExecuteUpdateAsync(set => set.SetProperty(p => p.DisabledAt, DateTimeOffset.UtcNow), Cancellation);

        Refuse.Rule(Void, await LookAsync(room, Secret(link)));
        Refuse.Rule(Void, await ChooseAsync(room, Secret(link)));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task Choose_WhenWhoMadeTheLinkLostTheRight_IsRefused(bool switchedOff)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid second = await room.AddPersonAsync("Second Administrator", "second@example.org", Role.Administrator);
        NewPasswordLink link = await room.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(second, room.Administrator, Cancellation));
        if (switchedOff)
        {
            await room.DoAsync<DisablePerson, DisabledPerson>(u => u.RunAsync(room.Administrator, second, Cancellation));
        }
        else
        {
            await room.DoAsync<ChangeRole, Role>(u => u.RunAsync(room.Administrator, second, Role.Coordinator, Cancellation));
        }

        Refuse.Rule(Void, await LookAsync(room, Secret(link)));
        Refuse.Rule(Void, await ChooseAsync(room, Secret(link)));
    }

    [Theory]
    [InlineData("another person")]
    [InlineData("another maker")]
    [InlineData("the console as maker")]
    [InlineData("cut", 1)]
    [InlineData("cut", 2)]
    [InlineData("cut", 3)]
    [InlineData("cut", 4)]
    [InlineData("cut", 40)]
    [InlineData("keys alone")]
    [InlineData("no letters of a link")]
    [InlineData("nothing")]
    public async Task InvalidLink_IsRefusedInTheSameWordsAndChangesNobody(string what, int cut = 0)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        Guid second = await room.AddPersonAsync("Second Administrator", "second@example.org", Role.Administrator);
        string good = Secret(await MakeAsync(room, room.Member));
        byte[] bytes = Base64Url.DecodeFromChars(good);
        string? wrong = what switch
        {
            "another person" => Base64Url.EncodeToString([.. room.OtherMember.ToByteArray(), .. bytes[16..]]),
            "another maker" => Base64Url.EncodeToString([.. bytes[..16], .. second.ToByteArray(), .. bytes[32..]]),
            "the console as maker" => Base64Url.EncodeToString([.. bytes[..16], .. Guid.Empty.ToByteArray(), .. bytes[32..]]),
            "cut" => good[..^cut],
            "keys alone" => Base64Url.EncodeToString(bytes[..32]),
            "no letters of a link" => "a link, typed by hand; 100 %",
            _ => null,
        };

        Outcome<string> looked = await LookAsync(room, wrong);
        Outcome<Guid> chosen = await ChooseAsync(room, wrong);

        Assert.All([looked.Refusal, chosen.Refusal], refusal => Assert.Equal(
            "This link leads to no new password. It works once, for 24 hours, and only as a whole: copy all of it again, or ask an administrator of your guild for a new one.", refusal.ToString()));
        await using var db = room.Look();
        Assert.False(await db.People.AnyAsync(p => p.PasswordHash == null, Cancellation));
        Assert.Equal((true, true), (await OpensAsync(room, GuildRoom.Password), (await ChooseAsync(room, good)).IsOk));
    }

    [Theory]
    [InlineData("short")]
    [InlineData("aaaaaaaaaaaaaa")]
    [InlineData("")]
    [InlineData(null)]
    public async Task InvalidPassword_IsRefusedAtItsFieldAndTheLinkStillHolds(string? password)
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewPasswordLink link = await MakeAsync(room, room.Member);

        Outcome<Guid> refused = await ChooseAsync(room, Secret(link), password);

        Assert.Equal("password", Assert.Single(refused.Refusals).Field);
        Assert.True((await ChooseAsync(room, Secret(link))).IsOk);
    }

    [Fact]
    public async Task Choose_WhenSomebodyUsesTheLinkInTheSameMoment_WaitsAndIsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewPasswordLink link = await MakeAsync(room, room.Member);
        await using var db = room.Look();
        await using var first = await db.Database.BeginTransactionAsync(Cancellation);
        await db.People.Where(p => p.Id == room.Member).ExecuteUpdateAsync(set => set.SetProperty(p => p.SecurityStamp, "changed by the first"), Cancellation);

        Task<Outcome<Guid>> second = ChooseAsync(room, Secret(link));
        await LockWait.ForAsync(room, db);
        await first.CommitAsync(Cancellation);

        Refuse.Rule(Void, await second);
        Assert.Equal("changed by the first", (await PersonAsync(room)).SecurityStamp);
    }

    [Fact]
    public async Task Choose_WhenThePasswordWasChangedMeanwhile_IsRefused()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        NewPasswordLink link = await MakeAsync(room, room.Member);
        await room.DoAsync<ChooseNewPassword, Guid>(async u => await u.RunAsync(Secret(await MakeAsync(room, room.Member)), Chosen, Cancellation));

        Refuse.Rule(Void, await ChooseAsync(room, Secret(link), "a-third-one-of-mine"));
        Assert.True(await OpensAsync(room, Chosen));
    }

    [Fact]
    public async Task Choose_WhenTheAccountRestsAfterWrongTries_EndsTheRest()
    {
        await using GuildRoom room = await GuildRoom.OpenAsync(postgres);
        await room.UseAsync<UserManager<Person>, bool>(async people =>
        {
            Person person = (await people.FindByIdAsync(room.Member.ToString()))!;
            for (int wrong = 1; wrong <= 8; wrong++)
            {
                await people.AccessFailedAsync(person);
            }

            return await people.IsLockedOutAsync(person);
        });
        Assert.NotNull((await PersonAsync(room)).LockoutEnd);

        Assert.True((await ChooseAsync(room, Secret(await MakeAsync(room, room.Member)))).IsOk);

        Person rested = await PersonAsync(room);
        Assert.Equal((null, 0), (rested.LockoutEnd, rested.AccessFailedCount));
    }

    private static Task<NewPasswordLink> MakeAsync(GuildRoom room, Guid person) =>
        room.DoAsync<MakeNewPasswordLink, NewPasswordLink>(u => u.RunAsync(room.Administrator, person, Cancellation));

    private static Task<Outcome<string>> LookAsync(GuildRoom room, string? secret) =>
        room.UseAsync<ChooseNewPassword, Outcome<string>>(u => u.LookAsync(secret, Cancellation));

    private static Task<Outcome<Guid>> ChooseAsync(GuildRoom room, string? secret, string? password = Chosen) =>
        room.UseAsync<ChooseNewPassword, Outcome<Guid>>(u => u.RunAsync(secret, password, Cancellation));

    private static Task<bool> OpensAsync(GuildRoom room, string password) => room.UseAsync<UserManager<Person>, bool>(
        async people => await people.CheckPasswordAsync((await people.FindByIdAsync(room.Member.ToString()))!, password));

    private static async Task<Person> PersonAsync(GuildRoom room)
    {
        await using var db = room.Look();
        return await db.People.SingleAsync(p => p.Id == room.Member, Cancellation);
    }

    /// <summary>The same link as if it had been made at another time: the sign-in library's token begins with its moment, in ticks of UTC, inside what is protected.</summary>
    private static string Older(string secret, double hours, IDataProtectionProvider keys)
    {
        byte[] bytes = Base64Url.DecodeFromChars(secret);
        IDataProtector protector = keys.CreateProtector("DataProtectorTokenProvider");
        byte[] token = protector.Unprotect(bytes[32..]);
        DateTimeOffset made = new(BitConverter.ToInt64(token), TimeSpan.Zero);
        Assert.InRange(DateTimeOffset.UtcNow - made, TimeSpan.Zero, TimeSpan.FromMinutes(5));
        BitConverter.TryWriteBytes(token, made.AddHours(hours).UtcTicks);
        return Base64Url.EncodeToString([.. bytes[..32], .. protector.Protect(token)]);
    }

    private static string Secret(NewPasswordLink link) => link.Path["/account/new-password/".Length..];
}
