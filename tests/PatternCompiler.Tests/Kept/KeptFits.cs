using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Tests.Kept;

/// <summary>A fit, tables that are drawn for it, and what it says and draws.</summary>
internal sealed record KeptFit(string Name, string[] Words, Func<KeptDraw, string> Table, Func<MeasurementTable, DiagnosticSink, (string Told, Plot Plot)> Fit, int MostTables = int.MaxValue);

/// <summary>Fits of tables with scarce and repeated rows among them, kept as they were.</summary>
internal static class KeptFits
{
    public static void Check(string file, int tables, KeptFit[] fits)
    {
        var kept = new KeptTable(file);
        int fitted = 0;
        foreach (KeptFit fit in fits)
        {
            for (int number = 1; number <= Math.Min(tables, fit.MostTables); number++)
            {
                string table = fit.Table(new KeptDraw((ulong)number));
                var sink = new DiagnosticSink();
                string told;
                try
                {
                    (told, Plot plot) = fit.Fit(MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(table)), "table.csv", fit.Words), sink);
                    using var picture = new MemoryStream();
                    PlotRenderer.RenderSvg(plot, picture);
                    kept.Add($"{fit.Name}-{number:00}/plot", picture.ToArray());
                    fitted++;
                }
                catch (CompileException fault)
                {
                    told = fault.Message;
                }

                kept.Add($"{fit.Name}-{number:00}/told", $"{told}\n{string.Join('\n', sink.Collected)}\n{table}");
            }
        }

        int all = fits.Sum(fit => Math.Min(tables, fit.MostTables));
        Assert.True(fitted > all / 2, $"{fitted} of {all} were fitted");
        kept.Check();
    }

    /// <summary>A table, some rows of which are sometimes missing or said twice.</summary>
    public static string Rows(string head, KeptDraw draw, IEnumerable<string> rows)
    {
        List<string> lines = [.. rows];
        if (draw.Rarely(5))
        {
            lines.RemoveRange(lines.Count / 3, lines.Count / 2);
        }

        if (draw.Rarely(5))
        {
            lines.Add(lines[draw.Below(lines.Count)]);
        }

        return $"{head}\n{string.Join('\n', lines)}\n";
    }

    /// <summary>A number as a table has it.</summary>
    public static string N(double value) => Math.Round(value, 4).ToString(CultureInfo.InvariantCulture);
}
