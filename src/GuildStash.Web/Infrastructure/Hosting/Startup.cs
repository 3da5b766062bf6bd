using System.Net;
using System.Net.Sockets;
using System.Runtime.InteropServices;
using GuildStash.Data;
using GuildStash.Data.SafeKeeping;
using GuildStash.Data.Server;
using Microsoft.AspNetCore.Connections;

namespace GuildStash.Web.Infrastructure.Hosting;

/// <summary>What surrounds the program's work: signals, the port, and faults told as one line instead of a stack trace.</summary>
public static class Startup
{
    private const int Interrupted = 130;

    /// <summary>
    /// Runs the program's work. The token is cancelled by Ctrl-C and SIGTERM, so that an embedded server is stopped in order
    /// also while the site is not yet, or never, served.
    /// </summary>
    /// <returns>The exit code: the work's own, or 2 when the program cannot start as asked.</returns>
    public static async Task<int> RunAsync(Func<CancellationToken, Task<int>> work)
    {
        using var stopping = new CancellationTokenSource();
        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Stop);
        using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Stop);
        try
        {
            return await work(stopping.Token);
        }
        catch (Exception fault) when (fault is StartupException or ServerStartException or SafeKeepingException or MigrationException)
        {
            await Console.Error.WriteLineAsync(fault.Message);
            return CommandLine.CannotStart;
        }
        catch (IOException fault) when (fault.InnerException is AddressInUseException)
        {
            await Console.Error.WriteLineAsync($"{fault.Message} Stop the other program, or choose another port with --port N.");
            return CommandLine.CannotStart;
        }
        catch (OperationCanceledException) when (stopping.IsCancellationRequested)
        {
            return Interrupted;
        }

        void Stop(PosixSignalContext context)
        {
            context.Cancel = true;
            stopping.Cancel();
        }
    }

    /// <summary>Finds out before a server is started whether the site could be served.</summary>
    /// <exception cref="StartupException">The port is taken, needs more rights, or the address is not this machine's.</exception>
    public static void CheckPort(AppOptions options)
    {
        foreach (var address in AddressesOf(options.Bind))
        {
            try
            {
                using var socket = new Socket(address.AddressFamily, SocketType.Stream, ProtocolType.Tcp);
                socket.Bind(new IPEndPoint(address, options.Port));
                socket.Listen();
            }
            catch (SocketException fault)
            {
                throw new StartupException(Sentence(fault.SocketErrorCode, options), fault);
            }
        }
    }

    private static IEnumerable<IPAddress> AddressesOf(string bind) => bind switch
    {
        "localhost" => Socket.OSSupportsIPv6 && HasLoopback6() ? [IPAddress.Loopback, IPAddress.IPv6Loopback] : [IPAddress.Loopback],
        "*" => [IPAddress.Any],
        _ => [IPAddress.Parse(bind)],
    };

    /// <summary>A machine can know IPv6 and still have no such address, as many containers do.</summary>
    private static bool HasLoopback6()
    {
        using var socket = new Socket(AddressFamily.InterNetworkV6, SocketType.Stream, ProtocolType.Tcp);
        try
        {
            socket.Bind(new IPEndPoint(IPAddress.IPv6Loopback, 0));
            return true;
        }
        catch (SocketException)
        {
            return false;
        }
    }

    private static string Sentence(SocketError error, AppOptions options) => error switch
    {
        SocketError.AddressAlreadyInUse =>
            $"Port {options.Port} is already in use on {options.Bind}: stop the other program, or choose another port with --port N.",
        SocketError.AccessDenied =>
            $"Port {options.Port} may not be opened by user {Environment.UserName}: choose a port from 1024 up with --port N and put a proxy in front.",
        SocketError.AddressNotAvailable =>
            $"{options.Bind} is not an address of this machine: give --bind localhost, * or one of its own addresses.",
        _ => $"Port {options.Port} on {options.Bind} cannot be opened: {new SocketException((int)error).Message}.",
    };
}
