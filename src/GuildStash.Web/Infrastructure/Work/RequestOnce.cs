using System.Security.Cryptography;
using System.Text.Json;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>Lets a form be saved at most once, whatever happens to the connection meanwhile.</summary>
internal static class RequestOnce
{
    public static string KeyOf(Guid requestId) => requestId.ToString("N");

    /// <param name="page">Name of the page, such as "page:/intake/new".</param>
    /// <param name="requestId">The form's own key.</param>
    /// <param name="input">What is saved; a repetition with other content is refused.</param>
    public static void ArmFor<T>(this IdempotencySlot slot, string page, Guid requestId, T input) =>
        slot.Arm(page, KeyOf(requestId), SHA256.HashData(JsonSerializer.SerializeToUtf8Bytes(input)));
}
