using System.Diagnostics;
using System.Globalization;

namespace PatternCompiler.Mutants.Running;

/// <summary>How a worker is started: the copy's build of this program beside the switched library.</summary>
internal static class WorkerProcess
{
    private const string HeapLimit = "0x80000000";

    public static ProcessStartInfo Start(string folder, int mutant, string[] arguments)
    {
        var start = new ProcessStartInfo("dotnet", [Path.Combine(folder, "PatternCompiler.Mutants.dll"), "worker", .. arguments])
        {
            WorkingDirectory = folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.Environment["PATTERNC_MUTANT"] = mutant.ToString(CultureInfo.InvariantCulture);
        start.Environment["SNAPSHOOTER_STRICT_MODE"] = "true";
        start.Environment["DOTNET_GCHeapHardLimit"] = HeapLimit;
        start.Environment["DOTNET_DbgEnableMiniDump"] = "0";
        return start;
    }
}
