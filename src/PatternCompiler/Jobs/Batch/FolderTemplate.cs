using System.Collections.Immutable;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs.Batch;

/// <summary>A folder name with places for the job's name and the varied values.</summary>
internal sealed class FolderTemplate
{
    private readonly string text;
    private readonly string baseFolder;

    /// <summary>A template that is known to be right.</summary>
    public FolderTemplate(string text, string baseFolder)
    {
        this.text = text;
        this.baseFolder = baseFolder;
    }

    /// <summary>A template from a batch file.</summary>
    /// <exception cref="CompileException">It has a place for something that is not varied.</exception>
    public FolderTemplate(YamlNode node, ImmutableArray<ImmutableArray<VariedValue>> axes, string baseFolder)
        : this(node.AsText(), baseFolder)
    {
        string[] known = ["job", "values", .. axes.Where(axis => axis.Length > 0).Select(axis => axis[0].Key)];
        Fill(place => known.Contains(place)
            ? ""
            : throw node.OutOfRange($"{node.Name} has a place for '{place}', which is not varied", $"known here: {string.Join(", ", known)}"));
    }

    /// <summary>The folder of one entry.</summary>
    public string For(string jobPath, ImmutableArray<VariedValue> values) => Path.Combine(baseFolder, Fill(place => place switch
    {
        "job" => Path.GetFileNameWithoutExtension(jobPath),
        "values" => values.IsEmpty ? "." : string.Join('_', values.Select(value => value.Label)),
        _ => values.First(value => value.Key == place).Label,
    }));

    private string Fill(Func<string, string> valueOf)
    {
        var result = new StringBuilder();
        int position = 0;
        while (text.IndexOf('{', position) is int open and >= 0 && text.IndexOf('}', open) is int close and >= 0)
        {
            result.Append(text, position, open - position).Append(valueOf(text[(open + 1)..close].Trim()));
            position = close + 1;
        }

        return result.Append(text, position, text.Length - position).ToString();
    }
}
