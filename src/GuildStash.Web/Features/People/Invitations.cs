using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.People;

/// <summary>An invitation as it is entered.</summary>
/// <param name="Days">How long the link holds, 1 to 60.</param>
/// <param name="Note">For whom it is, as a reminder; the invited person does not see it.</param>
public sealed record InvitationInput(Role Role, string? Note = null, decimal? Days = InvitationRules.UsualDays);

/// <summary>A new invitation; its link is shown this once and can't be read again.</summary>
/// <param name="Path">Path of the link, from the root.</param>
public sealed record NewInvitation(Guid Id, string Path, Role Role, DateTimeOffset ExpiresAt);

/// <summary>An invitation that was neither used nor withdrawn.</summary>
/// <param name="Holds">False when its time is over or who invited may not invite for this role any more.</param>
public sealed record InvitationView(Guid Id, Role Role, string Note, string InvitedBy, DateTimeOffset CreatedAt, DateTimeOffset ExpiresAt, bool Holds);

/// <summary>Invites a person by a link: a coordinator for members and volunteers, an administrator for every role.</summary>
public sealed class InvitePerson(GuildWork work)
{
    public Task<Outcome<NewInvitation>> RunAsync(Guid by, InvitationInput input, CancellationToken cancellation) =>
        work.WriteAsync<NewInvitation>(by, Role.Coordinator, async act =>
        {
            Check check = new();
            check.That(Enum.IsDefined(input.Role), "role", "Choose a role.");
            string note = check.Text(input.Note, "note", 200);
            int days = Settings.GuildFields.Whole(input.Days, "days", 1, InvitationRules.MostDays, check);
            if (check.Failed)
            {
                return check.Refuse<NewInvitation>();
            }

            if (!InvitationRules.MayInvite(act.By.Role, input.Role))
            {
                return InvitationRules.OnlyAdministrators;
            }

            string secret = Base64Url.EncodeToString(RandomNumberGenerator.GetBytes(InvitationRules.SecretBytes));
            Invitation invitation = new()
            {
                SecretHash = InvitationRules.Hash(secret),
                Note = note,
                Role = input.Role,
                CreatedAt = act.Now,
                CreatedById = act.By.Id,
                ExpiresAt = act.Now.AddDays(days),
            };
            act.Db.Invitations.Add(invitation);
            await act.Db.SaveChangesAsync(act.Cancellation);
            return new NewInvitation(invitation.Id, $"/invite/{secret}", invitation.Role, invitation.ExpiresAt);
        }, cancellation);
}

/// <summary>Makes an unused invitation's link worthless.</summary>
public sealed class WithdrawInvitation(GuildWork work)
{
    public Task<Outcome<bool>> RunAsync(Guid by, Guid invitationId, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Coordinator, async act =>
        {
            await act.Db.Database.ExecuteSqlAsync($"select 1 from invitation where id = {invitationId} for update", act.Cancellation);
            Invitation? invitation = await act.Db.Invitations.SingleOrDefaultAsync(i => i.Id == invitationId, act.Cancellation);
            if (invitation is null)
            {
                return Refusal.NotFound("There is no such invitation.");
            }

            if (!InvitationRules.MayInvite(act.By.Role, invitation.Role))
            {
                return InvitationRules.OnlyAdministrators;
            }

            if (invitation.UsedAt is not null)
            {
                return Refusal.Conflict("invitation-used", "This invitation was used meanwhile: there is an account now. Look for it in the list of people.");
            }

            invitation.WithdrawnAt ??= act.Now;
            return true;
        }, cancellation);
}

internal static class InvitationRules
{
    public const int UsualDays = 14;
    public const int MostDays = 60;

    /// <summary>256 bits: nobody guesses a link.</summary>
    public const int SecretBytes = 32;

    public static Refusal OnlyAdministrators => Refusal.Forbidden("Only an administrator invites coordinators and administrators. Ask one of your guild.");

    public static bool MayInvite(Role inviter, Role invited) =>
        inviter == Role.Administrator || (inviter == Role.Coordinator && invited <= Role.Volunteer);

    /// <summary>A plain hash is enough, since the secret is random.</summary>
    public static byte[] Hash(string secret) => SHA256.HashData(Encoding.UTF8.GetBytes(secret));
}
