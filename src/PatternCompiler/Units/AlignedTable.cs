using System.Text;

namespace PatternCompiler.Units;

/// <summary>A table as text for people: columns as wide as their widest cell.</summary>
internal static class AlignedTable
{
    /// <summary>Appends a line for each row; all rows have as many cells.</summary>
    public static void Append(IReadOnlyList<string[]> rows, StringBuilder text)
    {
        int[] widths = [.. Enumerable.Range(0, rows[0].Length).Select(column => rows.Max(row => row[column].Length))];
        foreach (string[] row in rows)
        {
            text.Append(string.Join("  ", row.Select((cell, column) => cell.PadRight(widths[column]))).TrimEnd()).Append('\n');
        }
    }
}
