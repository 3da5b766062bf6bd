using System.Diagnostics;
using Microsoft.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore.Diagnostics;
using Npgsql;

namespace GuildStash.Benchmarks;

/// <summary>One statement as the application sent it.</summary>
internal sealed record Statement(string Text, IReadOnlyList<NpgsqlParameter> Parameters);

/// <summary>
/// Notes the statements of one act and sends them again straight through Npgsql: the same texts, the same parameters, one
/// transaction, every row and column read. That is the least that any program has to do for the same answer.
/// </summary>
internal sealed class Statements(IReadOnlyList<Statement> list, bool inTransaction)
{
    public int Count => list.Count;

    /// <summary>Listens only while the act runs, so that the measured acts are not slowed down.</summary>
    public static async Task<Statements> OfAsync(Func<Task> act, bool inTransaction)
    {
        Listener listener = new();
        using (DiagnosticListener.AllListeners.Subscribe(listener))
        {
            await act();
        }

        listener.Stop();
        return new Statements(listener.Seen, inTransaction);
    }

    /// <param name="fresh">Gives a new value for each value that may exist only once; other values come back as they are.</param>
    public async Task SendAsync(string connectionString, Func<object?, object?> fresh)
    {
        await using NpgsqlConnection connection = new(connectionString);
        await connection.OpenAsync();
        await using NpgsqlTransaction? transaction = inTransaction ? await connection.BeginTransactionAsync() : null;
        foreach (Statement statement in list)
        {
            await using NpgsqlCommand command = new(statement.Text, connection, transaction);
            Fill(command, statement, fresh);
            await using NpgsqlDataReader reader = await command.ExecuteReaderAsync();
            await DrainAsync(reader);
        }

        if (transaction is not null)
        {
            await transaction.CommitAsync();
        }
    }

    /// <summary>How the server answers each question, with times and pages read.</summary>
    public async Task ExplainAsync(string connectionString, TextWriter output)
    {
        await using NpgsqlConnection connection = new(connectionString);
        await connection.OpenAsync();
        foreach (Statement statement in list.Where(s => s.Text.TrimStart().StartsWith("SELECT", StringComparison.Ordinal)))
        {
            await using NpgsqlCommand command = new("explain (analyze, buffers) " + statement.Text, connection);
            Fill(command, statement, value => value);
            await output.WriteLineAsync(statement.Text);
            await using NpgsqlDataReader reader = await command.ExecuteReaderAsync();
            while (await reader.ReadAsync())
            {
                await output.WriteLineAsync("    " + reader.GetString(0));
            }
        }
    }

    private static void Fill(NpgsqlCommand command, Statement statement, Func<object?, object?> fresh)
    {
        foreach (NpgsqlParameter parameter in statement.Parameters)
        {
            NpgsqlParameter copy = parameter.Clone();
            copy.Value = fresh(copy.Value);
            command.Parameters.Add(copy);
        }
    }

    private static async Task DrainAsync(NpgsqlDataReader reader)
    {
        do
        {
            while (await reader.ReadAsync())
            {
                for (int i = 0; i < reader.FieldCount; i++)
                {
                    reader.GetValue(i);
                }
            }
        }
        while (await reader.NextResultAsync());
    }

    private sealed class Listener : IObserver<DiagnosticListener>, IObserver<KeyValuePair<string, object?>>
    {
        // One for each set of options that contexts were made with.
        private readonly List<IDisposable> _listening = [];

        public List<Statement> Seen { get; } = [];

        public void Stop() => _listening.ForEach(l => l.Dispose());

        public void OnNext(DiagnosticListener value)
        {
            if (value.Name == DbLoggerCategory.Name)
            {
                _listening.Add(value.Subscribe(this));
            }
        }

        public void OnNext(KeyValuePair<string, object?> value)
        {
            if (value.Key == RelationalEventId.CommandExecuting.Name && value.Value is CommandEventData { Command: { } command })
            {
                Seen.Add(new Statement(command.CommandText, [.. command.Parameters.Cast<NpgsqlParameter>().Select(p => p.Clone())]));
            }
        }

        public void OnCompleted()
        {
        }

        public void OnError(Exception error)
        {
        }
    }
}
