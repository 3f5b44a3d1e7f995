using System.Buffers.Binary;
using System.Text;

namespace PatternCompiler.Tests.Measure;

/// <summary>Picture files written byte by byte from their published layouts.</summary>
internal static class PictureFiles
{
    /// <summary>Baseline TIFF, grey, one strip (TIFF 6.0, sections 2 to 4), 10,000 pixels a centimetre times a factor.</summary>
    public static byte[] Tiff(int width, int height, int bits, byte[] content, bool isBig = false, int photometric = 1, uint dotsPerCentimetre = 1_000_000)
    {
        var file = new List<byte>(Encoding.ASCII.GetBytes(isBig ? "MM" : "II"));
        Short(42);
        const int Entries = 11;
        const int Directory = 8;
        const int Resolution = Directory + 2 + Entries * 12 + 4;
        Long(Directory);
        Short(Entries);
        Entry(256, 4, (uint)width);
        Entry(257, 4, (uint)height);
        Entry(258, 3, (uint)bits);
        Entry(259, 3, 1);
        Entry(262, 3, (uint)photometric);
        Entry(273, 4, Resolution + 8);
        Entry(277, 3, 1);
        Entry(278, 4, (uint)height);
        Entry(279, 4, (uint)content.Length);
        Entry(282, 5, Resolution);
        Entry(296, 3, 3);
        Long(0);
        Long(dotsPerCentimetre);
        Long(1);
        file.AddRange(content);
        return [.. file];

        void Entry(int tag, int type, uint value)
        {
            Short(tag);
            Short(type);
            Long(1);
            if (type == 3)
            {
                Short((int)value);
                Short(0);
            }
            else
            {
                Long(value);
            }
        }

        void Short(int value) => file.AddRange(isBig ? [(byte)(value >> 8), (byte)value] : [(byte)value, (byte)(value >> 8)]);

        void Long(uint value)
        {
            byte[] bytes = new byte[4];
            BinaryPrimitives.WriteUInt32LittleEndian(bytes, value);
            file.AddRange(isBig ? bytes.Reverse() : bytes);
        }
    }

    /// <summary>An array file as NumPy's format description has it, version 1.0.</summary>
    public static byte[] Npy(string type, int rows, int columns, byte[] content, bool byColumns = false)
    {
        string header = $"{{'descr': '{type}', 'fortran_order': {(byColumns ? "True" : "False")}, 'shape': ({rows}, {columns}), }}";
        header = header.PadRight(117) + "\n";
        return [0x93, .. "NUMPY"u8, 1, 0, (byte)header.Length, 0, .. Encoding.ASCII.GetBytes(header), .. content];
    }
}
