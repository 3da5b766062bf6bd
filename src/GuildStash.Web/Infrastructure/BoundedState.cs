using System.Buffers;
using System.Text.Json;
using Microsoft.AspNetCore.Components;

namespace GuildStash.Web.Infrastructure;

/// <summary>
/// Keeps what a page read while it was drawn on the server, so that it neither flickers nor is read twice, as long as that is small. The
/// browser sends it back in one message, and a message beyond <see cref="BoundedState.LargestMessage"/> ends the connection for good: a page that says
/// more reads again instead.
/// </summary>
public sealed class BoundedState<T> : PersistentComponentStateSerializer<T>
{
    public override void Persist(T value, IBufferWriter<byte> writer)
    {
        byte[] state = JsonSerializer.SerializeToUtf8Bytes(value, JsonSerializerOptions.Web);
        if (state.Length <= BoundedState.LargestValue)
        {
            writer.Write(state);
        }
    }

    public override T Restore(ReadOnlySequence<byte> data)
    {
        if (data.IsEmpty)
        {
            return default!;
        }

        Utf8JsonReader reader = new(data);
        return JsonSerializer.Deserialize<T>(ref reader, JsonSerializerOptions.Web)!;
    }
}

/// <summary>How much a page may keep.</summary>
public static class BoundedState
{
    /// <summary>Bytes that a browser may send at once; what it keeps for a page is the largest of it.</summary>
    public const int LargestMessage = 128 * 1024;

    /// <summary>Bytes of one value. Two of them, protected and in text twice (16/9 as long), fit into one message.</summary>
    public const int LargestValue = 32 * 1024;
}
