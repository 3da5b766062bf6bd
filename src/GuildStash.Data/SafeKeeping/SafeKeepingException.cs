namespace GuildStash.Data.SafeKeeping;

/// <summary>A back-up, restore or export can't be done. The message is one sentence for people: what is wrong, and what to do.</summary>
public sealed class SafeKeepingException : Exception
{
    public SafeKeepingException(string sentence)
        : base(sentence)
    {
    }

    public SafeKeepingException(string sentence, Exception cause)
        : base(sentence, cause)
    {
    }
}
