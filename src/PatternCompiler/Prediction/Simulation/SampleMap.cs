using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// A quantity on an evenly spaced grid: energy in coulombs per square metre of a uniform dose, or the remaining part of the
/// resist's thickness.
/// </summary>
/// <param name="Left">x of the left edge of the first column, in nanometres.</param>
/// <param name="Bottom">y of the lower edge of the first row, in nanometres.</param>
/// <param name="StepNanometres">Size of a cell.</param>
/// <param name="Columns">Cells across.</param>
/// <param name="Rows">Cells upward.</param>
/// <param name="Values">Row by row from the bottom left: the mean over a cell.</param>
internal sealed record SampleMap(double Left, double Bottom, double StepNanometres, int Columns, int Rows, ReadOnlyMemory<float> Values)
{
    /// <summary>
    /// Writes the values as an array file of version 1.0 (NumPy documentation, numpy.lib.format), 32-bit little-endian,
    /// shape (rows, columns), the first row the lowest.
    /// </summary>
    public void WriteArray(Stream output)
    {
        const int Prefix = 10;
        string description = string.Create(
            CultureInfo.InvariantCulture, $"{{'descr': '<f4', 'fortran_order': False, 'shape': ({Rows}, {Columns}), }}");
        int length = (Prefix + description.Length + 1 + 63) / 64 * 64 - Prefix;
        byte[] header = new byte[Prefix + length];
        ReadOnlySpan<byte> magic = [0x93, (byte)'N', (byte)'U', (byte)'M', (byte)'P', (byte)'Y', 1, 0];
        magic.CopyTo(header);
        header[8] = (byte)length;
        header[9] = (byte)(length >> 8);
        Encoding.ASCII.GetBytes(description.PadRight(length - 1) + "\n", header.AsSpan(Prefix));
        output.Write(header);
        if (BitConverter.IsLittleEndian)
        {
            output.Write(MemoryMarshal.AsBytes(Values.Span));
            return;
        }

        Span<byte> bytes = stackalloc byte[sizeof(float)];
        foreach (float value in Values.Span)
        {
            System.Buffers.Binary.BinaryPrimitives.WriteSingleLittleEndian(bytes, value);
            output.Write(bytes);
        }
    }
}
