using System.Numerics;
using MathNet.Numerics.IntegralTransforms;

namespace PatternCompiler.Measure.Registration;

/// <summary>Fourier transforms of square pictures whose side is a power of two. A spectrum is kept with rows and columns exchanged.</summary>
internal static class Spectrum
{
    /// <summary>From a picture to its spectrum, in place.</summary>
    public static void Forward(Complex[][] rows)
    {
        EachRow(rows, row => Fourier.Forward(row, FourierOptions.NoScaling));
        Transpose(rows);
        EachRow(rows, row => Fourier.Forward(row, FourierOptions.NoScaling));
    }

    /// <summary>Back from a spectrum to the picture, in place.</summary>
    public static void Inverse(Complex[][] rows)
    {
        EachRow(rows, row => Fourier.Inverse(row, FourierOptions.NoScaling));
        Transpose(rows);
        EachRow(rows, row => Fourier.Inverse(row, FourierOptions.NoScaling));
        double scale = 1.0 / ((double)rows.Length * rows.Length);
        foreach (Complex[] row in rows)
        {
            for (int i = 0; i < row.Length; i++)
            {
                row[i] *= scale;
            }
        }
    }

    /// <summary>An empty picture.</summary>
    public static Complex[][] Empty(int side)
    {
        var rows = new Complex[side][];
        for (int i = 0; i < side; i++)
        {
            rows[i] = new Complex[side];
        }

        return rows;
    }

    private static void EachRow(Complex[][] rows, Action<Complex[]> transform)
    {
        foreach (Complex[] row in rows)
        {
            // Most of a picture's rows are empty.
            if (row.AsSpan().ContainsAnyExcept(Complex.Zero))
            {
                transform(row);
            }
        }
    }

    private static void Transpose(Complex[][] rows)
    {
        for (int y = 0; y < rows.Length; y++)
        {
            for (int x = y + 1; x < rows.Length; x++)
            {
                (rows[y][x], rows[x][y]) = (rows[x][y], rows[y][x]);
            }
        }
    }
}
