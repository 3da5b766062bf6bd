namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>The program cannot start as asked. The message is one sentence for the person at the console.</summary>
public sealed class StartupException : Exception
{
    public StartupException(string sentence)
        : base(sentence)
    {
    }

    public StartupException(string sentence, Exception cause)
        : base(sentence, cause)
    {
    }
}
