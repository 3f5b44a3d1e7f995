using System.Collections.Immutable;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Reports;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Batch;

/// <summary>
/// Keeps one record per entry as a small text file. A record is written beside its name and renamed, after the outputs
/// have their names: whenever the program dies, either the old record or the new one is there, and an output without a
/// record is built again. Paths are kept relative to the records' folder, so that a project can be moved.
/// </summary>
/// <param name="folder">Where the records are.</param>
internal sealed class BuildRecords(string folder)
{
    private const string FirstLine = "patternc build record 1";
    private const string LastLine = "end";

    /// <summary>Where the records are.</summary>
    public string Folder => folder;

    /// <summary>The record of an entry and when it was written; null if there is none, or it is damaged.</summary>
    public (BuildRecord Record, long WrittenTicks)? Find(BatchEntry entry, out bool isDamaged)
    {
        string path = PathOf(entry);
        isDamaged = false;
        try
        {
            if (FileSystem.Look(path) is not { Kind: FileKind.Regular } file)
            {
                return null;
            }

            BuildRecord? record = Parse(ReadLines(path));
            isDamaged = record is null;
            return record is null ? null : (record, file.ModifiedTicks);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            isDamaged = true;
            return null;
        }
    }

    /// <summary>Forgets an entry, before its outputs are replaced.</summary>
    public void Remove(BatchEntry entry) => Guard(() => FileSystem.Delete(PathOf(entry)), ignoreMissingFolder: true);

    /// <summary>Writes the record of an entry.</summary>
    public void Write(BatchEntry entry, BuildRecord record) => Guard(
        () =>
        {
            FileSystem.CreateFolder(folder);
            string path = PathOf(entry);
            string beside = path + ".new";
            using (FileStream file = FileSystem.CreateOrEmpty(beside))
            {
                file.Write(FileName.Encode(Print(record)));
            }

            FileSystem.Rename(beside, path);
        },
        ignoreMissingFolder: false);

    private static string[] ReadLines(string path)
    {
        using FileStream file = FileSystem.OpenRead(path);
        var bytes = new byte[file.Length];
        file.ReadExactly(bytes);
        return FileName.Decode(bytes).TrimEnd('\n').Split('\n');
    }

    private string PathOf(BatchEntry entry)
    {
        string identity = $"{Relative(entry.JobPath)}\n{string.Join('\n', entry.Values.Select(value => $"{value.Key}={(VariedSettings.IsFile(value) ? Relative(value.Text) : value.Text)}"))}\n{(entry.Folder is null ? "" : Relative(entry.Folder))}";
        string hash = Convert.ToHexStringLower(SHA256.HashData(FileName.Encode(identity)));
        return Path.Combine(folder, hash[..32] + ".built");
    }

    private string Print(BuildRecord record)
    {
        var text = new StringBuilder();
        text.Append(FirstLine).Append('\n');
        text.Append("version ").Append(record.ToolVersion).Append('\n');
        foreach (string value in record.Fingerprint.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            text.Append("value ").Append(value).Append('\n');
        }

        if (record.Figures is { } figures)
        {
            text.Append(CultureInfo.InvariantCulture, $"figures {NumberText.Format(figures.WriteSeconds)} {figures.Warnings} {figures.Notes}\n");
            if (figures is { Records: long count, ChargeCoulombs: double charge })
            {
                text.Append(CultureInfo.InvariantCulture, $"exposure {count} {NumberText.Format(charge)}\n");
            }
        }

        if (record.Print is { } print)
        {
            text.Append("print ").Append(PrintLine.Print(print)).Append('\n');
        }

        foreach (Diagnostic loss in record.Losses)
        {
            text.Append("loss ").Append(LossLine.Print(loss)).Append('\n');
        }

        Append(text, "input", record.Inputs);
        Append(text, "output", record.Outputs);
        return text.Append(LastLine).Append('\n').ToString();
    }

    private void Append(StringBuilder text, string word, ImmutableArray<FileStamp> stamps)
    {
        foreach (FileStamp stamp in stamps)
        {
            text.Append($"{word} {stamp.Hash} {stamp.Bytes} {stamp.ModifiedTicks} {Relative(stamp.Path)}").Append('\n');
        }
    }

    private BuildRecord? Parse(string[] lines)
    {
        if (lines.Length < 3 || lines[0] != FirstLine || lines[^1] != LastLine || !lines[1].StartsWith("version ", StringComparison.Ordinal))
        {
            return null;
        }

        List<string> values = [];
        BuildFigures? figures = null;
        PredictedPrint? print = null;
        var losses = ImmutableArray.CreateBuilder<Diagnostic>();
        var inputs = ImmutableArray.CreateBuilder<FileStamp>();
        var outputs = ImmutableArray.CreateBuilder<FileStamp>();
        foreach (string line in lines.AsSpan(2, lines.Length - 3))
        {
            string[] parts = line.Split(' ', 2);
            if (parts.Length == 2 && parts[0] == "value")
            {
                values.Add(parts[1]);
            }
            else if (parts.Length == 2 && parts[0] == "figures" && ParseFigures(parts[1]) is BuildFigures read)
            {
                figures = read;
            }
            else if (parts.Length == 2 && parts[0] == "exposure" && figures is not null && ParseExposure(parts[1]) is (long count, double charge))
            {
                figures = figures with { Records = count, ChargeCoulombs = charge };
            }
            else if (parts.Length == 2 && parts[0] == "print" && PrintLine.Parse(parts[1]) is PredictedPrint predicted)
            {
                print = predicted;
            }
            else if (parts.Length == 2 && parts[0] == "loss" && LossLine.Parse(parts[1]) is Diagnostic loss)
            {
                losses.Add(loss);
            }
            else if (parts.Length == 2 && parts[0] is "input" or "output" && ParseStamp(parts[1]) is FileStamp stamp)
            {
                (parts[0] == "input" ? inputs : outputs).Add(stamp);
            }
            else
            {
                return null;
            }
        }

        return new BuildRecord(lines[1]["version ".Length..], string.Join('\n', values), inputs.ToImmutable(), outputs.ToImmutable())
        {
            Figures = figures,
            Losses = losses.ToImmutable(),
            Print = print,
        };
    }

    private static (long Records, double Charge)? ParseExposure(string text)
    {
        string[] parts = text.Split(' ');
        return parts.Length == 2 && NumberText.TryParseInteger(parts[0], out long count) && NumberText.TryParseReal(parts[1], out double charge) ? (count, charge) : null;
    }

    private static BuildFigures? ParseFigures(string text)
    {
        string[] parts = text.Split(' ');
        return parts.Length == 3 && NumberText.TryParseReal(parts[0], out double seconds)
            && NumberText.TryParseInteger(parts[1], out long warnings) && NumberText.TryParseInteger(parts[2], out long notes)
            ? new BuildFigures(seconds, (int)warnings, (int)notes)
            : null;
    }

    private FileStamp? ParseStamp(string text)
    {
        string[] parts = text.Split(' ', 4);
        return parts.Length == 4 && NumberText.TryParseInteger(parts[1], out long bytes) && NumberText.TryParseInteger(parts[2], out long ticks)
            ? new FileStamp(FileSystem.FullPath(Path.Combine(folder, parts[3])), bytes, ticks, parts[0])
            : null;
    }

    private string Relative(string path) => FileSystem.RelativePath(folder, path);

    private void Guard(Action action, bool ignoreMissingFolder)
    {
        try
        {
            action();
        }
        catch (Exception fault) when (ignoreMissingFolder && fault is FileNotFoundException or DirectoryNotFoundException)
        {
            // Without the folder there is no record to forget.
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw new CompileException(
                new Diagnostic(BatchCodes.CannotRecord, Severity.Error, $"cannot keep build records here: {fault.Message}", new SourcePlace(folder), "name another folder for them"), fault);
        }
    }
}
