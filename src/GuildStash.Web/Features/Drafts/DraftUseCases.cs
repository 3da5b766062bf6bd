using System.Text;
using System.Text.Json;
using GuildStash.Data.People;
using GuildStash.Domain.People;
using GuildStash.Domain.Rules;
using GuildStash.Web.Infrastructure.Work;
using Microsoft.EntityFrameworkCore;

namespace GuildStash.Web.Features.Drafts;

/// <summary>A draft as it was found.</summary>
/// <param name="State">The form's state as JSON.</param>
/// <param name="SavedAt">When the last change was saved.</param>
public sealed record KeptDraft(string State, DateTimeOffset SavedAt);

/// <summary>Keeps what a person has typed into a form so far, in place of what was kept for it before.</summary>
public sealed class SaveDraft(GuildWork work)
{
    public const int MostBytes = 64 * 1024;

    /// <param name="form">Name of the form, at most <see cref="Draft.LongestFormKey"/> characters.</param>
    /// <param name="version">Version of the form's shape.</param>
    /// <param name="state">The form's state as JSON, at most <see cref="MostBytes"/> in UTF-8.</param>
    /// <returns>The moment of saving by the database's clock.</returns>
    public Task<Outcome<DateTimeOffset>> RunAsync(Guid by, string form, int version, string state, CancellationToken cancellation) =>
        work.WriteAsync<DateTimeOffset>(by, Role.Volunteer, async act =>
        {
            Check check = new();
            int bytes = Encoding.UTF8.GetByteCount(state);
            check.That(form.Length is > 0 and <= Draft.LongestFormKey, "form", "A form's name has 1 to {0} characters; this has {1}.", Draft.LongestFormKey, form.Length);
            check.That(bytes <= MostBytes, "draft", "What is typed here takes {0} bytes; up to {1} are kept until it is saved. Save it now, or shorten the notes.", bytes, MostBytes);
            check.That(bytes > MostBytes || IsJson(state), "draft", "This draft can't be read. Load the page again.");
            if (check.Failed)
            {
                return check.Refuse<DateTimeOffset>();
            }

            await act.Db.Database.ExecuteSqlAsync(
                $"""
                 insert into draft (person_id, form, version, state, saved_at)
                 values ({act.By.Id}, {form}, {version}, {state}::jsonb, {act.Now})
                 on conflict (person_id, form) do update set version = excluded.version, state = excluded.state, saved_at = excluded.saved_at
                 """,
                act.Cancellation);
            return act.Now;
        }, cancellation);

    private static bool IsJson(string state)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(state);
            return document.RootElement.ValueKind == JsonValueKind.Object;
        }
        catch (JsonException)
        {
            return false;
        }
    }
}

/// <summary>Finds what a person has typed and not submitted.</summary>
public sealed class ReadDraft(GuildWork work)
{
    /// <returns>The person's own draft of this form and version, or null where there is none that is young enough.</returns>
    public Task<Outcome<KeptDraft?>> RunAsync(Guid by, string form, int version, CancellationToken cancellation) =>
        work.ReadAsync(by, Role.Volunteer, async act =>
        {
            DateTimeOffset since = act.Now - Draft.KeptFor;
            KeptDraft? kept = await act.Db.Drafts
                .Where(d => d.PersonId == act.By.Id && d.Form == form && d.Version == version && d.SavedAt >= since)
                .Select(d => new KeptDraft(d.State, d.SavedAt))
                .SingleOrDefaultAsync(act.Cancellation);
            return (Outcome<KeptDraft?>)kept;
        }, cancellation);

    /// <summary>Whether the person's form of this name was submitted already, so that a copy of it in the browser is no draft any more.</summary>
    public Task<Outcome<bool>> WasSubmittedAsync(Guid by, Guid requestId, CancellationToken cancellation)
    {
        string key = RequestOnce.KeyOf(requestId);
        return work.ReadAsync<bool>(by, Role.Volunteer, async act =>
            await act.Db.IdempotentResponses.AnyAsync(r => r.PersonId == act.By.Id && r.Key == key, act.Cancellation), cancellation);
    }
}

/// <summary>Throws away what a person has typed.</summary>
public sealed class DiscardDraft(GuildWork work)
{
    /// <returns>Whether there was anything.</returns>
    public Task<Outcome<bool>> RunAsync(Guid by, string form, CancellationToken cancellation) =>
        work.WriteAsync<bool>(by, Role.Volunteer, async act => await SubmittedDraft.ForgetAsync(act, form), cancellation);
}

/// <summary>For the use cases that submit a form: its draft goes in the same transaction, or stays when that is refused.</summary>
internal static class SubmittedDraft
{
    /// <param name="act">The submitting act.</param>
    /// <param name="form">Name of the form; null where it came another way, such as the API.</param>
    public static async Task<bool> ForgetAsync(Act act, string? form) =>
        form is not null && await act.Db.Drafts.Where(d => d.PersonId == act.By.Id && d.Form == form).ExecuteDeleteAsync(act.Cancellation) > 0;
}
