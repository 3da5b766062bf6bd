using System.ComponentModel;
using System.Diagnostics;

namespace GuildStash.Data.Server;

/// <summary>What a short-lived program printed and how it ended.</summary>
internal sealed record CommandOutcome(int ExitCode, string Output, string Errors);

internal static class ServerCommand
{
    /// <summary>Runs a program to its end, without a shell and without the caller's PostgreSQL settings.</summary>
    /// <exception cref="ServerStartException">The program cannot be started.</exception>
    public static CommandOutcome Run(string program, IEnumerable<string> arguments)
    {
        using var process = Start(Describe(program, arguments));
        process.StandardInput.Close();
        var errors = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return new CommandOutcome(process.ExitCode, output, errors.GetAwaiter().GetResult());
    }

    /// <exception cref="ServerStartException">The program cannot be started.</exception>
    public static Process Start(ProcessStartInfo description)
    {
        try
        {
            return Process.Start(description)
                ?? throw new ServerStartException($"The program {description.FileName} could not be started.");
        }
        catch (Win32Exception fault)
        {
            throw new ServerStartException($"The program {description.FileName} could not be started: {fault.Message}.", fault);
        }
    }

    public static ProcessStartInfo Describe(string program, IEnumerable<string> arguments)
    {
        var description = new ProcessStartInfo(program)
        {
            UseShellExecute = false,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            // The server's user may not be allowed into the folder from where the app was started.
            WorkingDirectory = "/",
        };
        foreach (var argument in arguments)
        {
            description.ArgumentList.Add(argument);
        }

        foreach (var name in description.Environment.Keys.Where(name => name.StartsWith("PG", StringComparison.Ordinal)).ToList())
        {
            description.Environment.Remove(name);
        }

        // Program messages are read for their cause, so they come in one language.
        description.Environment["LC_ALL"] = "C";
        return description;
    }
}
