using System.CommandLine;
using System.Text;
using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds;
using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Settings;

/// <summary>What a build is asked to build: a job file, or a drawing that stands for a job of its own.</summary>
internal static class JobInput
{
    /// <summary>Bytes at the start of an input that tell what it is.</summary>
    public const int HeadBytes = 1024;

    // More than any job file holds; the YAML reader refuses what is longer.
    private const int LongestText = 1 << 24;

    /// <summary>
    /// Reads the job, or makes one around a drawing, which stays unread. A job file is known by its ending or, without it,
    /// by being text that is no drawing and names a job.
    /// </summary>
    public static Job Read(InputStream input, ParseResult result, SettingsOptions settings, DrawingArguments drawing)
    {
        string path = input.Name;
        if (IsNamedLikeAJob(path))
        {
            return JobFile.Read(path);
        }

        ReadOnlySpan<byte> head = input.Peek(HeadBytes);
        if (head.IsEmpty)
        {
            throw new CompileException(
                CommandCodes.EmptyInput, "the input is empty", new SourcePlace(path), "name a job file or a drawing");
        }

        if (!DrawingReader.Recognises(head) && IsJobText(head))
        {
            return JobFile.Parse(ReadText(input, "job"), path);
        }

        BuildSettings bare = BuildSettings.ForDrawing(path);
        Job template = settings.ReadJob(result);
        return template with
        {
            Name = bare.Job.Name,
            Sources = [drawing.SourceOf(path, result)],
            Outputs = bare.Job.Outputs,
        };
    }

    /// <summary>The text of a settings file that is open.</summary>
    /// <param name="input">The file, read to its end or to more than any settings file holds.</param>
    /// <param name="role">What it is, for messages.</param>
    public static string ReadText(InputStream input, string role)
    {
        try
        {
            using var reader = new StreamReader(input, new UTF8Encoding(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true), leaveOpen: true);
            var buffer = new char[LongestText + 1];
            return new string(buffer, 0, reader.ReadBlock(buffer, 0, buffer.Length));
        }
        catch (DecoderFallbackException)
        {
            throw new CompileException(CommandCodes.UnknownFormat, $"the {role} file is not UTF-8 text", new SourcePlace(input.Name), "check the name, or save it as UTF-8");
        }
    }

    private static bool IsNamedLikeAJob(string path) =>
        path.EndsWith(".yaml", StringComparison.OrdinalIgnoreCase) || path.EndsWith(".yml", StringComparison.OrdinalIgnoreCase);

    private static bool IsJobText(ReadOnlySpan<byte> head)
    {
        foreach (Range line in head.Split((byte)'\n'))
        {
            if (head[line].StartsWith("job:"u8))
            {
                return true;
            }
        }

        return false;
    }
}
