using System.Text.Json;
using GuildStash.Domain.Codes;
using GuildStash.Domain.Counting;
using GuildStash.Domain.Rules;

namespace GuildStash.Web.Infrastructure.Work;

/// <summary>The database's answer to whoever moves yarn from or to a bin that is being counted.</summary>
internal static class FrozenBin
{
    /// <summary>SQLSTATE with which the database refuses it.</summary>
    public const string SqlState = "GS001";

    private static readonly JsonSerializerOptions Web = new(JsonSerializerDefaults.Web);

    private sealed record Counted(string Bin, string By, string Since);

    /// <param name="hint">Who counts which bin since when, as JSON.</param>
    public static Refusal Refused(string? hint) =>
        hint is not null && JsonSerializer.Deserialize<Counted>(hint, Web) is { } counted
            ? CountRules.IsFrozen(BinCode.Parse(counted.Bin).Value.Display, counted.By, counted.Since)
            : Refusal.Conflict(CountRules.Frozen, "This bin is being counted: nothing leaves or enters until the count is ended.");
}
