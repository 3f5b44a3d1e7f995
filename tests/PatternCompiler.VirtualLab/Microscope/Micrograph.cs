namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>A grey picture, rows from the top down.</summary>
/// <param name="Width">Pixels across.</param>
/// <param name="Height">Pixels down, the data bar included.</param>
/// <param name="Signal">Detected signal, 1 for a detector's full range, not cut off.</param>
/// <param name="NanometresPerPixel">As the microscope states it.</param>
/// <param name="DataBarRows">Rows at the bottom that are no picture.</param>
public sealed record Micrograph(int Width, int Height, double[] Signal, double NanometresPerPixel, int DataBarRows)
{
    /// <summary>Grey levels of 8 bits; what is outside the range is cut off.</summary>
    public byte[] ToGrey8() => [.. Signal.Select(signal => (byte)Math.Clamp(Math.Round(255 * signal), 0, 255))];

    /// <summary>Grey levels of 16 bits.</summary>
    public ushort[] ToGrey16() => [.. Signal.Select(signal => (ushort)Math.Clamp(Math.Round(65535 * signal), 0, 65535))];
}
