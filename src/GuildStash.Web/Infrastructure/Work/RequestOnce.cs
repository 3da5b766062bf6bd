using System.Security.Cryptography;
using System.Text.Json;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>Lets a form be saved at most once, whatever happens to the connection meanwhile.</summary>
internal static class RequestOnce
{
    /// <summary>How the routes of pages begin, as opposed to those of the API.</summary>
    public const string OfPages = "page:";

    /// <summary>The rule that refuses a form which was saved with other content, as where it is open in two windows.</summary>
    public const string SavedElsewhereRule = "form-saved-elsewhere";

    public static Refusal SavedElsewhere() => Refusal.Conflict(
        SavedElsewhereRule,
        "This form was saved already, in another window or on another device. What stands here is not saved. Look at what was saved there; if this is something else, save it once more.");

    /// <summary>The name of a form's next saving: a new one where it was saved elsewhere, so that the next press saves what stands in it as something of its own.</summary>
    public static Guid After(Guid requestId, IEnumerable<Refusal> refusals) =>
        refusals.Any(refusal => refusal.Rule == SavedElsewhereRule) ? Guid.CreateVersion7() : requestId;

    public static string KeyOf(Guid requestId) => requestId.ToString("N");

    /// <param name="page">Name of the page, such as "page:/intake/new".</param>
    /// <param name="requestId">The form's own key.</param>
    /// <param name="input">What is saved; a repetition with other content is refused.</param>
    public static void ArmFor<T>(this IdempotencySlot slot, string page, Guid requestId, T input) =>
        slot.Arm(page, KeyOf(requestId), SHA256.HashData(JsonSerializer.SerializeToUtf8Bytes(input)));
}
