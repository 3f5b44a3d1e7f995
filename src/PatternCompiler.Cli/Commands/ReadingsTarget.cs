using System.Text;
using PatternCompiler.Cli.Files;

namespace PatternCompiler.Cli.Commands;

/// <summary>Records that are exposed to be read with a meter, and the table to fill in: both files, or none.</summary>
internal static class ReadingsTarget
{
    /// <summary>Writes them.</summary>
    /// <param name="records">File of the records.</param>
    /// <param name="table">File of the table; null for none.</param>
    /// <param name="write">Writes the records and returns the table.</param>
    /// <param name="context">Opens the files.</param>
    public static int Write(string records, string? table, Func<Stream, string> write, CommandContext context)
    {
        using OutputFile file = context.Outputs.Create(records);
        using OutputFile? second = table is null ? null : context.Outputs.Create(table);
        byte[] text = Encoding.UTF8.GetBytes(write(file.Stream));
        second?.Stream.Write(text);
        file.Commit();
        second?.Commit();
        return ExitCode.Done;
    }
}
