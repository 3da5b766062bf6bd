using System.Diagnostics;
using System.Globalization;
using Npgsql;

namespace GuildStash.Data.Server;

/// <summary>One running server process: a child of this process, or one adopted from an app that was killed.</summary>
internal sealed class Postmaster
{
    private static readonly TimeSpan PollInterval = TimeSpan.FromMilliseconds(100);

    private readonly Process? _child;
    private readonly TaskCompletionSource _exited = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private readonly ServerWords _words = new();

    private Postmaster(int processId, string socketFolder, Process? child)
    {
        (ProcessId, SocketFolder, _child) = (processId, socketFolder, child);
        if (child is null)
        {
            return;
        }

        child.EnableRaisingEvents = true;
        child.Exited += (_, _) => _exited.TrySetResult();
        child.ErrorDataReceived += (_, line) => _words.Add(line.Data);
        child.OutputDataReceived += (_, line) => _words.Add(line.Data);
        child.BeginErrorReadLine();
        child.BeginOutputReadLine();
        child.StandardInput.Close();
    }

    public int ProcessId { get; }

    public string SocketFolder { get; }

    public bool IsAlive => _child is null ? ClusterProcesses.IsAlive(ProcessId) : !_child.HasExited;

    /// <summary>Takes over a server that already runs.</summary>
    public static Postmaster Adopt(PostmasterFile file) => new(file.ProcessId, file.SocketFolder, null);

    /// <summary>
    /// Starts the server as a direct child, so that its end is noticed at once and no zombie keeps its process number.
    /// It gets a session of its own: Ctrl-C in the console reaches the app alone, which then stops the server in order.
    /// It is not bound to the app's life by a parent-death signal: that follows the starting thread, which in .NET may end
    /// at any time. A server left by a killed app is adopted at the next start instead.
    /// </summary>
    public static Postmaster Launch(ServerFolders folders, ServerPrograms programs, ServerUser user, bool durable)
    {
        PrepareSocketFolder(folders.SocketFolder, user);
        var (program, arguments) = user.Prefix(programs.Server, Arguments(folders, durable));
        var child = ServerCommand.Start(ServerCommand.Describe("setsid", [program, .. arguments]));
        return new Postmaster(child.Id, folders.SocketFolder, child);
    }

    /// <summary>Completes when the server process has ended.</summary>
    public async Task WaitForExitAsync(CancellationToken cancellation)
    {
        if (_child is not null)
        {
            await _exited.Task.WaitAsync(cancellation).ConfigureAwait(false);
            return;
        }

        while (IsAlive)
        {
            await Task.Delay(PollInterval, cancellation).ConfigureAwait(false);
        }
    }

    /// <summary>Waits until the server answers queries.</summary>
    /// <param name="superuser">How to connect for the trial.</param>
    /// <exception cref="ServerStartException">It ended, did not answer in time or refused the password.</exception>
    public async Task WaitUntilReadyAsync(
        ServerFolders folders, string superuser, TimeSpan timeout, CancellationToken cancellation)
    {
        var deadline = DateTime.UtcNow + timeout;
        while (true)
        {
            if (!IsAlive)
            {
                // The pipe's last lines may come a moment after the process's end.
                _child?.WaitForExit(TimeSpan.FromSeconds(1));
                throw new ServerStartException(
                    $"The database server ended while starting: {_words.Reason(folders)} (log: {folders.Log}).");
            }

            if (PostmasterFile.Read(folders) is { IsReady: true } file
                && file.ProcessId == ProcessId
                && await AnswersAsync(folders, superuser, cancellation).ConfigureAwait(false))
            {
                return;
            }

            if (DateTime.UtcNow > deadline)
            {
                throw new ServerStartException(string.Create(
                    CultureInfo.InvariantCulture,
                    $"The database server did not answer within {timeout.TotalSeconds:0} seconds (log: {folders.Log})."));
            }

            await Task.Delay(20, cancellation).ConfigureAwait(false);
        }
    }

    /// <summary>Stops the server: sessions are ended and everything is written (SIGINT); after the timeout at once (SIGQUIT).</summary>
    public async Task StopAsync(TimeSpan timeout)
    {
        if (!IsAlive || !PosixCalls.Signal(ProcessId, PosixCalls.SignalInterrupt))
        {
            return;
        }

        using var patience = new CancellationTokenSource(timeout);
        try
        {
            await WaitForExitAsync(patience.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            PosixCalls.Signal(ProcessId, PosixCalls.SignalQuit);
            await WaitForExitAsync(CancellationToken.None).ConfigureAwait(false);
        }
    }

    private static List<string> Arguments(ServerFolders folders, bool durable)
    {
        var settings = new Dictionary<string, string>
        {
            ["listen_addresses"] = "",
            ["port"] = ServerFolders.Port.ToString(CultureInfo.InvariantCulture),
            ["unix_socket_directories"] = folders.SocketFolder,
            ["unix_socket_permissions"] = "0700",
            ["password_encryption"] = "scram-sha-256",
            ["fsync"] = durable ? "on" : "off",
            ["synchronous_commit"] = durable ? "on" : "off",
            ["full_page_writes"] = durable ? "on" : "off",
            // What need not last does not last long enough to be tidied up.
            ["autovacuum"] = durable ? "on" : "off",
            ["timezone"] = "UTC",
            ["log_timezone"] = "UTC",
            // One file a weekday, written over after a week: the log never fills the disk and outlives a killed app.
            ["logging_collector"] = "on",
            ["log_directory"] = "log",
            ["log_filename"] = "postgresql-%a.log",
            ["log_truncate_on_rotation"] = "on",
            ["log_rotation_age"] = "1d",
            ["log_rotation_size"] = "0",
        };
        return ["-D", folders.Cluster, .. settings.SelectMany(setting => new[] { "-c", $"{setting.Key}={setting.Value}" })];
    }

    /// <exception cref="ServerStartException">The folder's name is taken by somebody else.</exception>
    private static void PrepareSocketFolder(string folder, ServerUser user)
    {
        var owner = PosixCalls.OwnerOf(folder);
        if (owner is null)
        {
            Directory.CreateDirectory(folder, ServerFolders.OwnerOnly);
            user.Own(folder);
        }
        else if (owner.Value.IsLink || owner.Value.User != user.User)
        {
            throw new ServerStartException(
                $"The folder {folder} for the database server's socket does not belong to user {user.Name}: remove it and start again.");
        }
        else
        {
            File.SetUnixFileMode(folder, ServerFolders.OwnerOnly);
        }
    }

    private static async Task<bool> AnswersAsync(ServerFolders folders, string superuser, CancellationToken cancellation)
    {
        try
        {
            await using var connection = new NpgsqlConnection(superuser);
            await connection.OpenAsync(cancellation).ConfigureAwait(false);
            return true;
        }
        catch (PostgresException fault) when (fault.SqlState is PostgresErrorCodes.InvalidPassword)
        {
            throw new ServerStartException(
                $"The database server in {folders.Cluster} does not accept the password in {folders.PasswordFile}: put that file back from the back-up.",
                fault);
        }
        catch (NpgsqlException)
        {
            return false;
        }
    }
}
