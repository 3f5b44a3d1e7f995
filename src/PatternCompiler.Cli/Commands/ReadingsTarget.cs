using System.Text;
using PatternCompiler.Cli.Files;

namespace PatternCompiler.Cli.Commands;

/// <summary>What is exposed to be measured, and the table to fill in: both files, or none.</summary>
internal static class ReadingsTarget
{
    /// <summary>Writes them.</summary>
    /// <param name="exposed">File of the records or the layout.</param>
    /// <param name="table">File of the table; null for none.</param>
    /// <param name="write">Writes what is exposed and returns the table.</param>
    /// <param name="context">Opens the files.</param>
    public static int Write(string exposed, string? table, Func<Stream, string> write, CommandContext context)
    {
        using OutputFile file = context.Outputs.Create(exposed);
        using OutputFile? second = table is null ? null : context.Outputs.Create(table);
        byte[] text = Encoding.UTF8.GetBytes(write(file.Stream));
        second?.Stream.Write(text);
        file.Commit();
        second?.Commit();
        return ExitCode.Done;
    }
}
