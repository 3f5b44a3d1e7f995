using System.Diagnostics;

namespace PatternCompiler.Mutants.Running;

/// <summary>A process that runs test classes: the copy's build of this program beside the switched library.</summary>
internal sealed class WorkerProcess : IDisposable
{
    private const string HeapLimit = "0x80000000";

    private readonly Process _process;

    /// <param name="folder">Where the copy's build is.</param>
    public WorkerProcess(string folder)
    {
        _process = Process.Start(Start(folder, "run"))!;
        _process.ErrorDataReceived += static (_, _) => { };
        _process.BeginErrorReadLine();
    }

    /// <summary>Whether the last class is still at it although its time is over.</summary>
    public bool Hangs { get; private set; }

    /// <summary>Every test class: assembly, tabulator and name.</summary>
    public static string[] Classes(string folder)
    {
        using Process worker = Process.Start(Start(folder, "classes"))!;
        return worker.StandardOutput.ReadToEnd().Split('\n', StringSplitOptions.RemoveEmptyEntries);
    }

    /// <summary>Runs a class with a mutant on; null if the process dies or does not answer in time, after which it is of no more use.</summary>
    public ClassOutcome? Ask(int mutant, string type, TimeSpan limit)
    {
        try
        {
            _process.StandardInput.WriteLine($"{mutant}\t{type}");
            _process.StandardInput.Flush();
        }
        catch (IOException)
        {
            return null;
        }

        Task<ClassOutcome?> outcome = NextOutcome();
        Hangs = !outcome.Wait(limit);
        return Hangs ? null : outcome.Result;
    }

    public void Dispose()
    {
        _process.Kill(entireProcessTree: true);
        _process.WaitForExit();
        _process.Dispose();
    }

    private async Task<ClassOutcome?> NextOutcome()
    {
        while (await _process.StandardOutput.ReadLineAsync() is { } line)
        {
            if (ClassOutcome.Read(line) is { } outcome)
            {
                return outcome;
            }
        }

        return null;
    }

    private static ProcessStartInfo Start(string folder, string what)
    {
        var start = new ProcessStartInfo("dotnet", [Path.Combine(folder, "PatternCompiler.Mutants.dll"), "worker", what])
        {
            WorkingDirectory = folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["SNAPSHOOTER_STRICT_MODE"] = "true";
        start.Environment["DOTNET_GCHeapHardLimit"] = HeapLimit;
        start.Environment["DOTNET_DbgEnableMiniDump"] = "0";
        return start;
    }
}
