namespace GuildStash.Data;

/// <summary>The schema could not be brought up to date; database and data are as they were. The message is a sentence for the operator.</summary>
public sealed class MigrationException(string message, Exception inner) : Exception(message, inner);
