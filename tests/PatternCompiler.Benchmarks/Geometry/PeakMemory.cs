using System.Globalization;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>The largest memory that a piece of work held at any one time, as the Linux kernel counts it.</summary>
internal static class PeakMemory
{
    /// <summary>Bytes by which the process grew at most during the work beyond what it held before.</summary>
    public static long During(Action work)
    {
        GC.Collect(2, GCCollectionMode.Aggressive, blocking: true, compacting: true);

        // Sets the kernel's record of the peak back to the present size (proc(5), clear_refs).
        File.WriteAllText("/proc/self/clear_refs", "5");
        long before = Read("VmRSS:");
        work();
        return Read("VmHWM:") - before;
    }

    private static long Read(string field)
    {
        foreach (string line in File.ReadLines("/proc/self/status"))
        {
            if (line.StartsWith(field, StringComparison.Ordinal))
            {
                return long.Parse(line.AsSpan(field.Length, line.Length - field.Length - " kB".Length), CultureInfo.InvariantCulture) * 1024;
            }
        }

        throw new InvalidDataException($"The kernel does not tell {field}");
    }
}
