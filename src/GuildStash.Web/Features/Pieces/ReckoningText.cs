using System.Text.Json;
using System.Text.Json.Serialization;
using GuildStash.Domain.Projects;

namespace GuildStash.Web.Features.Pieces;

/// <summary>A reckoning as it is kept: JSON with the names of its entries.</summary>
internal static class ReckoningText
{
    /// <summary>What rounding to a tenth of a metre or yard may change, and a little.</summary>
    private const double SlackMetres = 0.1;
    private const double SlackShare = 0.001;

    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase) },
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    };

    public static string Write(Reckoning reckoning) => JsonSerializer.Serialize(reckoning, Options);

    /// <summary>Null also where it can't be read any more: the length stands without it.</summary>
    public static Reckoning? Read(string? text)
    {
        try
        {
            return text is null ? null : JsonSerializer.Deserialize<Reckoning>(text, Options);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    /// <summary>The need that the reckoning gives, where it is the entered one but for rounding; else null.</summary>
    public static LengthNeed? Giving(Reckoning? reckoning, LengthNeed entered)
    {
        if (reckoning is null || Reckoner.Need(reckoning) is not { IsOk: true, Value: var need })
        {
            return null;
        }

        return IsSame(need.Low.Metres, entered.Low.Metres) && IsSame(need.Likely.Metres, entered.Likely.Metres) && IsSame(need.Safe.Metres, entered.Safe.Metres) ? need : null;
    }

    private static bool IsSame(double reckoned, double entered) => Math.Abs(reckoned - entered) <= SlackMetres + (SlackShare * reckoned);
}
