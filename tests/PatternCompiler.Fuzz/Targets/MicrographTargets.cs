using System.Text;
using PatternCompiler.Fuzz.Mutation;
using PatternCompiler.Fuzz.Running;
using PatternCompiler.Measure.Micrographs;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>One target for each kind of micrograph, through the one door that users come through.</summary>
internal static class MicrographTargets
{
    /// <summary>The targets.</summary>
    public static IEnumerable<FuzzTarget> All =>
    [
        new("micrograph-png", [Checksums.PngOf(2, 2, 8, 0, [0, 0, 255, 1, 255, 0]), Checksums.PngOf(3, 1, 8, 2, [0, 1, 2, 3, 4, 5, 6, 7, 8, 9])], ByteMutations.All, Read) { Repair = Checksums.Png },
        new("micrograph-tiff", [Tiff], ByteMutations.All, Read),
        new("micrograph-npy", [Npy("|u1", [1, 2]), Npy("<f4", [0, 0, 128, 63, 0, 0, 0, 192])], ByteMutations.All, Read),
    ];

    // Two pixels of 16 bits in one strip.
    private static byte[] Tiff =>
    [
        .. "II"u8, 42, 0, 8, 0, 0, 0, 8, 0,
        .. Entry(0, 4, 2), .. Entry(1, 4, 1), .. Entry(2, 3, 16), .. Entry(3, 3, 1), .. Entry(6, 3, 1), .. Entry(17, 4, 110), .. Entry(22, 4, 1), .. Entry(23, 4, 4),
        0, 0, 0, 0, 1, 2, 3, 4,
    ];

    private static byte[] Entry(byte tagAbove256, byte type, byte value) => [tagAbove256, 1, type, 0, 1, 0, 0, 0, value, 0, 0, 0];

    private static byte[] Npy(string type, byte[] content)
    {
        string header = $"{{'descr': '{type}', 'fortran_order': False, 'shape': (1, 2), }}".PadRight(117) + "\n";
        return [0x93, .. "NUMPY"u8, 1, 0, (byte)header.Length, 0, .. Encoding.ASCII.GetBytes(header), .. content];
    }

    private static void Read(byte[] input, CancellationToken cancellation) => MicrographReader.Read(new MemoryStream(input), "picture", cancellation);
}
