using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using Npgsql;

namespace GuildStash.TestSupport;

/// <summary>What becomes of the next COMMIT that passes.</summary>
public enum CommitFate
{
    Passes,

    /// <summary>It reaches the database, but the answer is lost with the connection.</summary>
    AnswerIsLost,

    /// <summary>It is lost with the connection before the database heard of it.</summary>
    IsLost,
}

/// <summary>A road between a program and its database, on loopback, that can be made slow, closed, or broken at the worst moment.</summary>
public sealed class DatabaseRoad : IAsyncDisposable
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly ConcurrentDictionary<Socket, Socket> _open = new();
    private readonly CancellationTokenSource _ending = new();
    private readonly NpgsqlConnectionStringBuilder _target;
    private readonly Task _accepting;
    private volatile bool _isClosed;
    private int _fate;
    private int _refused;

    /// <param name="connectionString">Of a server on a local socket or a port.</param>
    public DatabaseRoad(string connectionString)
    {
        _target = new NpgsqlConnectionStringBuilder(connectionString);
        _listener.Start();
        ConnectionString = new NpgsqlConnectionStringBuilder(connectionString)
        {
            Host = "127.0.0.1",
            Port = ((IPEndPoint)_listener.LocalEndpoint).Port,
            SslMode = SslMode.Disable,
            GssEncryptionMode = GssEncryptionMode.Disable,
        }.ConnectionString;
        _accepting = AcceptAsync();
    }

    /// <summary>The way over this road.</summary>
    public string ConnectionString { get; }

    /// <summary>What each message to the database takes longer.</summary>
    public TimeSpan Delay { get; set; }

    public CommitFate NextCommit
    {
        get => (CommitFate)Volatile.Read(ref _fate);
        set => Volatile.Write(ref _fate, (int)value);
    }

    /// <summary>After a broken commit the road stays closed.</summary>
    public bool ClosesWithTheCommit { get; set; }

    /// <summary>What happens to the database after a commit was lost and before the program hears of it.</summary>
    public Func<Task> Meanwhile { get; set; } = () => Task.CompletedTask;

    /// <summary>Cuts every connection and refuses new ones.</summary>
    public void Close()
    {
        _isClosed = true;
        foreach ((Socket client, Socket server) in _open)
        {
            Cut(client, server);
        }
    }

    public void Open() => _isClosed = false;

    /// <summary>Waits until so many connections were refused.</summary>
    public async Task RefusedAsync(int times)
    {
        using PeriodicTimer again = new(TimeSpan.FromMilliseconds(10));
        while (Volatile.Read(ref _refused) < times && await again.WaitForNextTickAsync(_ending.Token).ConfigureAwait(false))
        {
        }
    }

    public async ValueTask DisposeAsync()
    {
        Close();
        await _ending.CancelAsync().ConfigureAwait(false);
        _listener.Stop();
        await _accepting.ConfigureAwait(false);
        _listener.Dispose();
        _ending.Dispose();
    }

    private async Task AcceptAsync()
    {
        try
        {
            while (true)
            {
                Socket client = await _listener.AcceptSocketAsync(_ending.Token).ConfigureAwait(false);
                _ = CarryAsync(client);
            }
        }
        catch (OperationCanceledException)
        {
        }
    }

    private async Task CarryAsync(Socket client)
    {
        Socket? server = null;
        try
        {
            if (_isClosed)
            {
                Interlocked.Increment(ref _refused);
                return;
            }

            server = await ReachAsync().ConfigureAwait(false);
            client.NoDelay = true;
            _open[client] = server;
            if (!_isClosed)
            {
                await Task.WhenAny(ThereAsync(client, server), BackAsync(server, client)).ConfigureAwait(false);
            }
        }
        catch (SocketException)
        {
            // The database itself is away.
        }
        finally
        {
            _open.TryRemove(client, out _);
            Cut(client, server);
        }
    }

    private async Task<Socket> ReachAsync()
    {
        bool isLocal = _target.Host!.StartsWith('/');
        Socket server = isLocal ? new(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified) : new(SocketType.Stream, ProtocolType.Tcp);
        EndPoint there = isLocal ? new UnixDomainSocketEndPoint($"{_target.Host}/.s.PGSQL.{_target.Port}") : new DnsEndPoint(_target.Host, _target.Port);
        await server.ConnectAsync(there).ConfigureAwait(false);
        return server;
    }

    private async Task ThereAsync(Socket client, Socket server)
    {
        byte[] buffer = new byte[64 << 10];
        for (int read; (read = await ReadAsync(client, buffer).ConfigureAwait(false)) > 0;)
        {
            if (Delay > TimeSpan.Zero)
            {
                using PeriodicTimer onTheWay = new(Delay);
                await onTheWay.WaitForNextTickAsync(_ending.Token).ConfigureAwait(false);
            }

            // With its end, since a transaction begins "READ COMMITTED".
            CommitFate fate = buffer.AsSpan(0, read).IndexOf("COMMIT\0"u8) >= 0 ? (CommitFate)Interlocked.Exchange(ref _fate, 0) : CommitFate.Passes;
            _isClosed |= fate != CommitFate.Passes && ClosesWithTheCommit;
            if (fate == CommitFate.IsLost)
            {
                await Meanwhile().ConfigureAwait(false);
                return;
            }

            if (fate == CommitFate.AnswerIsLost)
            {
                // Nobody listens for the answer, which would otherwise go back.
                client.Close();
            }

            await server.SendAsync(buffer.AsMemory(0, read), _ending.Token).ConfigureAwait(false);
        }
    }

    private static async Task BackAsync(Socket server, Socket client)
    {
        byte[] buffer = new byte[64 << 10];
        for (int read; (read = await ReadAsync(server, buffer).ConfigureAwait(false)) > 0;)
        {
            await client.SendAsync(buffer.AsMemory(0, read)).ConfigureAwait(false);
        }
    }

    private static async Task<int> ReadAsync(Socket from, byte[] buffer)
    {
        try
        {
            return await from.ReceiveAsync(buffer.AsMemory()).ConfigureAwait(false);
        }
        catch (Exception fault) when (fault is SocketException or ObjectDisposedException)
        {
            return 0;
        }
    }

    private static void Cut(Socket client, Socket? server)
    {
        client.Dispose();
        server?.Dispose();
    }
}
