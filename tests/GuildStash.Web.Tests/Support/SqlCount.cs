using System.Diagnostics;
using Microsoft.EntityFrameworkCore.Diagnostics;

namespace GuildStash.Web.Tests.Support;

/// <summary>Counts the commands that this test sends to the database, whatever other tests do meanwhile.</summary>
internal sealed class SqlCount : IObserver<DiagnosticListener>, IObserver<KeyValuePair<string, object?>>, IDisposable
{
    private static readonly AsyncLocal<SqlCount?> Here = new();

    private readonly List<IDisposable> _subscriptions = [];
    private readonly List<string> _commands = [];

    public SqlCount()
    {
        Here.Value = this;
        _subscriptions.Add(DiagnosticListener.AllListeners.Subscribe(this));
    }

    public IReadOnlyList<string> Commands => _commands;

    public void Clear() => _commands.Clear();

    public void OnNext(DiagnosticListener value)
    {
        if (value.Name == DbLoggerCategory)
        {
            _subscriptions.Add(value.Subscribe(this));
        }
    }

    public void OnNext(KeyValuePair<string, object?> value)
    {
        if (Here.Value == this && value.Key == RelationalEventId.CommandExecuted.Name && value.Value is CommandExecutedEventData executed)
        {
            _commands.Add(executed.Command.CommandText);
        }
    }

    public void OnCompleted()
    {
    }

    public void OnError(Exception error)
    {
    }

    public void Dispose()
    {
        Here.Value = null;
        _subscriptions.ForEach(subscription => subscription.Dispose());
    }

    private const string DbLoggerCategory = Microsoft.EntityFrameworkCore.DbLoggerCategory.Name;
}
