using GuildStash.Data.Guild;
using GuildStash.Domain.Approvals;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Settings;

/// <summary>The rules of the room that a coordinator sets; numbers as typed.</summary>
public sealed record RoomRulesInput
{
    /// <summary>A guild of one: who asked may confirm alone after a time.</summary>
    public bool DelayedReviewIsOn { get; init; }

    /// <summary>1 to 720.</summary>
    public decimal? DelayedReviewHours { get; init; }
}

/// <summary>The rules as they stand.</summary>
/// <param name="Version">To be handed back when saving.</param>
public sealed record RoomRulesView(RoomRulesInput Fields, int Version);

/// <summary>Reads the rules of the room.</summary>
public sealed class RoomRulesReader(GuildWork work)
{
    public Task<Outcome<RoomRulesView>> RunAsync(Guid by, CancellationToken cancellation) =>
        work.ReadAsync<RoomRulesView>(by, Role.Coordinator, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            return new RoomRulesView(new RoomRulesInput { DelayedReviewIsOn = guild.DelayedReviewIsOn, DelayedReviewHours = guild.DelayedReviewHours }, guild.Version);
        }, cancellation);
}

/// <summary>Changes the rules of the room; what was settled before keeps how it was settled.</summary>
public sealed class SaveRoomRules(GuildWork work)
{
    /// <returns>The new version.</returns>
    public Task<Outcome<int>> RunAsync(Guid by, int version, RoomRulesInput input, CancellationToken cancellation) =>
        work.WriteAsync<int>(by, Role.Coordinator, async act =>
        {
            GuildSettings guild = await act.Db.Guilds.SingleAsync(act.Cancellation);
            if (guild.Version != version)
            {
                return Refusal.Conflict("changed-meanwhile", "Somebody else changed the settings meanwhile. Reload to see the present state, then enter your change again.");
            }

            Check check = new();
            guild.DelayedReviewIsOn = input.DelayedReviewIsOn;
            guild.DelayedReviewHours = GuildFields.Whole(input.DelayedReviewHours, "delayedReviewHours", DelayedReview.LeastHours, DelayedReview.MostHours, check);
            if (check.Failed)
            {
                return check.Refuse<int>();
            }

            guild.Version++;
            guild.ChangedAt = act.Now;
            guild.ChangedById = act.By.Id;
            return guild.Version;
        }, cancellation);
}
