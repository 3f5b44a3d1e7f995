using System.Collections.Immutable;
using PatternCompiler.Prediction;
using PatternCompiler.Reports;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Batch;

/// <summary>The predicted print of a build as a line of its record: numbers, the picture in Base64, and the faults in words.</summary>
internal static class PrintLine
{
    private const int NumberCount = 9;

    /// <summary>The line.</summary>
    public static string Print(PredictedPrint print)
    {
        SampleWindow w = print.Window;
        string numbers = string.Join(' ', new[] { w.Left, w.Bottom, w.Right, w.Top, print.MeanNanometres, print.ThreeSigmaNanometres, print.Samples, print.Lost, print.Faults }.Select(NumberText.Format));
        return $"{numbers} {Convert.ToBase64String(print.Png.AsSpan())} {print.FaultWords}";
    }

    /// <summary>Reads a line; null if it is damaged.</summary>
    public static PredictedPrint? Parse(string line)
    {
        string[] parts = line.Split(' ', NumberCount + 2);
        var n = new double[NumberCount];
        var png = new byte[line.Length];
        return parts.Length == NumberCount + 2
            && Enumerable.Range(0, NumberCount).All(i => NumberText.TryParseReal(parts[i], out n[i]))
            && Convert.TryFromBase64String(parts[NumberCount], png, out int bytes)
            ? new PredictedPrint(new SampleWindow(n[0], n[1], n[2], n[3]), n[4], n[5], (long)n[6], (long)n[7], (int)n[8], parts[NumberCount + 1], [.. png.AsSpan(0, bytes)])
            : null;
    }
}
