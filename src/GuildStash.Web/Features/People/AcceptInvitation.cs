using GuildStash.Data;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>What an invitation offers to who opens its link.</summary>
public sealed record InvitationOffer(string GuildName, Role Role, DateTimeOffset ExpiresAt);

/// <summary>Makes the account that an invitation offers. The link's secret is the right to do so; it works once.</summary>
public sealed class AcceptInvitation(GuildDbContext db, UserManager<Person> people)
{
    /// <summary>What the link offers, or why it offers nothing any more.</summary>
    public async Task<Outcome<InvitationOffer>> LookAsync(string? secret, CancellationToken cancellation)
    {
        Outcome<Invitation> found = await FindAsync(secret, cancellation);
        if (!found.IsOk)
        {
            return Outcome<InvitationOffer>.Refused(found.Refusals);
        }

        string guild = await db.Guilds.Select(g => g.Name).SingleAsync(cancellation);
        return new InvitationOffer(guild, found.Value.Role, found.Value.ExpiresAt);
    }

    /// <returns>The new account's key.</returns>
    public async Task<Outcome<Guid>> RunAsync(string? secret, string? name, string? email, string? password, CancellationToken cancellation)
    {
        // What LookAsync read before the lock would be taken for the present state.
        db.ChangeTracker.Clear();
        await using var transaction = await db.Database.BeginTransactionAsync(cancellation);
        byte[] hash = InvitationRules.Hash(secret ?? "");
        await db.Database.ExecuteSqlAsync($"select 1 from invitation where secret_hash = {hash} for update", cancellation);
        Outcome<Invitation> found = await FindAsync(secret, cancellation);
        if (!found.IsOk)
        {
            return Outcome<Guid>.Refused(found.Refusals);
        }

        DateTimeOffset now = await NowAsync(cancellation);
        Outcome<Person> person = await Accounts.CreateAsync(people, name, email, password, found.Value.Role, now);
        if (!person.IsOk)
        {
            return Outcome<Guid>.Refused(person.Refusals);
        }

        found.Value.UsedAt = now;
        found.Value.UsedById = person.Value.Id;
        await db.SaveChangesAsync(cancellation);
        await transaction.CommitAsync(cancellation);
        return person.Value.Id;
    }

    private async Task<Outcome<Invitation>> FindAsync(string? secret, CancellationToken cancellation)
    {
        byte[] hash = InvitationRules.Hash(secret ?? "");
        Invitation? invitation = await db.Invitations.SingleOrDefaultAsync(i => i.SecretHash == hash, cancellation);
        if (invitation is null)
        {
            return Refusal.NotFound("This link leads to no invitation. Copy the whole of it from the message, or ask for a new one.");
        }

        if (invitation.UsedAt is not null)
        {
            return Refusal.Conflict("invitation-used", "This invitation was used already. If you did it, sign in with the address and password you chose then.");
        }

        if (invitation.WithdrawnAt is not null || !await MayStillInviteAsync(invitation, cancellation))
        {
            return Refusal.Conflict("invitation-withdrawn", "This invitation was withdrawn. Ask your guild for a new one if that is a mistake.");
        }

        return invitation.ExpiresAt > await NowAsync(cancellation)
            ? invitation
            : Refusal.Conflict("invitation-expired", "The time of this invitation is over. Ask your guild for a new one.");
    }

    /// <summary>Nobody may keep a way in, or up, through a link made before they lost the right.</summary>
    private Task<bool> MayStillInviteAsync(Invitation invitation, CancellationToken cancellation) =>
        db.People.AnyAsync(p => p.Id == invitation.CreatedById && p.DisabledAt == null
            && (p.Role == Role.Administrator || (p.Role == Role.Coordinator && (invitation.Role == Role.Member || invitation.Role == Role.Volunteer))), cancellation);

    private Task<DateTimeOffset> NowAsync(CancellationToken cancellation) =>
        db.Database.SqlQuery<DateTimeOffset>($"""select now() as "Value" """).SingleAsync(cancellation);
}
