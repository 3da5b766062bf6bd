namespace GuildStash.Data.Server;

/// <summary>
/// The database server cannot be started, attached to or initialised. The message is one sentence for the person at the
/// console: what is wrong, with which folder or program, and what to do.
/// </summary>
public class ServerStartException : Exception
{
    public ServerStartException(string sentence)
        : base(sentence)
    {
    }

    public ServerStartException(string sentence, Exception cause)
        : base(sentence, cause)
    {
    }
}

/// <summary>Nothing is broken, but no usable PostgreSQL server program is installed.</summary>
public sealed class ServerProgramsMissingException : ServerStartException
{
    public ServerProgramsMissingException(string sentence)
        : base(sentence)
    {
    }
}
