using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using SharpFuzz;
using SharpFuzz.Common;

namespace PatternCompiler.Fuzz.Running;

/// <summary>
/// Which branches of the library an input takes. The library in this program's folder is instrumented before it is loaded;
/// each branch then counts itself in a map of 64 KiB, which is looked at after every run.
/// </summary>
internal static unsafe class Coverage
{
    private const int MapSize = 1 << 16;

    // Instruments nothing but the library: its packages are others' work.
    private const string Library = "PatternCompiler.dll";

    private static readonly byte[] Seen = new byte[MapSize];
    private static byte* map;

    /// <summary>Branches taken so far, each count class once.</summary>
    public static int Taken { get; private set; }

    /// <summary>Instruments the library if it is not, and gives it its map. Call before any type of the library is touched.</summary>
    public static void Begin()
    {
        map = (byte*)NativeMemory.AllocZeroed(MapSize);
        string path = Path.Combine(AppContext.BaseDirectory, Library);
        try
        {
            _ = Fuzzer.Instrument(path, _ => true, Options.Value).Count();
        }
        catch (InstrumentationException)
        {
            // It was instrumented by an earlier run.
        }

        Trace.SharedMem = map;
    }

    /// <summary>Forgets the branches of the run before.</summary>
    public static void Clear()
    {
        Unsafe.InitBlock(map, 0, MapSize);
        Trace.PrevLocation = 0;
    }

    /// <summary>Forgets everything, for the next target.</summary>
    public static void ForgetAll()
    {
        Array.Clear(Seen);
        Taken = 0;
    }

    /// <summary>True if the run took a branch, or took one so many times more, as none before.</summary>
    public static bool FoundNew()
    {
        bool isNew = false;
        var words = new ReadOnlySpan<ulong>(map, MapSize / sizeof(ulong));
        for (int i = 0; i < words.Length; i++)
        {
            if (words[i] == 0)
            {
                continue;
            }

            for (int j = i * sizeof(ulong); j < (i + 1) * sizeof(ulong); j++)
            {
                byte count = ClassOf(map[j]);
                if ((count & ~Seen[j]) != 0)
                {
                    Seen[j] |= count;
                    Taken++;
                    isNew = true;
                }
            }
        }

        return isNew;
    }

    /// <summary>A bit for how often: never, once, twice, three times, up to 7, 15, 31, 127 and more.</summary>
    private static byte ClassOf(byte count) => count switch
    {
        0 => 0,
        1 => 1,
        2 => 2,
        3 => 4,
        < 8 => 8,
        < 16 => 16,
        < 32 => 32,
        < 128 => 64,
        _ => 128,
    };
}
