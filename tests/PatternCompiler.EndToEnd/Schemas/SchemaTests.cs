using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Schemas;
using PatternCompiler.Jobs.Yaml;
using Xunit.Abstractions;

namespace PatternCompiler.EndToEnd.Schemas;

/// <summary>Schemas of settings files under a validator that knows nothing of this program.</summary>
public sealed class SchemaTests(ITestOutputHelper output)
{
    /// <summary>
    /// What only the program judges, by the codes of its errors: values and keys that depend on others, zero where more is needed and numbers
    /// beyond any use, what a text says (operations, fields of words, units), hexadecimal numbers, which YAML reads as such, and what stands below
    /// keys that the program passes over.
    /// </summary>
    private static readonly DiagnosticCode[] OnlyTheProgram =
    [
        JobCodes.ValueOutOfRange, JobCodes.MissingKey, JobCodes.WrongType, JobCodes.UnknownKey, JobCodes.BadExpression,
        UnitCodes.NotAQuantity, UnitCodes.UnknownUnit, UnitCodes.WrongDimension,
    ];

    [Fact]
    public void The_command_writes_a_schema_of_each_kind_and_refuses_others()
    {
        using var folder = new WorkFolder();
        foreach (SettingsSchema kind in SettingsSchema.All)
        {
            Outcome printed = folder.Run("schema", kind.Word).Expect(0);
            folder.Run("schema", kind.Word, "-o", $"{kind.Word}.json").Expect(0);
            Assert.Equal(printed.Output, File.ReadAllText(folder[$"{kind.Word}.json"]));
            Assert.Equal("http://json-schema.org/draft-07/schema#", JsonDocument.Parse(printed.Output).RootElement.GetProperty("$schema").GetString());
        }

        Outcome wrong = folder.Run("schema", "machines");
        Assert.Equal((2, ""), (wrong.ExitCode, wrong.Output));
        Assert.Contains("'machines' is no kind of settings file; write machine, process, job, batch or manifest", wrong.Errors, StringComparison.Ordinal);
    }

    [FactWith("npm")]
    public void Built_in_files_examples_and_new_files_are_valid()
    {
        using var folder = new WorkFolder();
        folder.Run("init", "chip", "--drawing", "a.svg").Expect(0);
        folder.Run("init", "gel", "--tone", "negative", "--no-blanker").Expect(0);
        List<(string Kind, string Name, string Text)> files =
        [
            ("machine", "built-in", DefaultFiles.MachineText), ("process", "built-in", DefaultFiles.ProcessText), ("job", "built-in", DefaultFiles.JobText),
            .. SettingsSchema.All.SelectMany(kind => kind.Samples().Select(sample => (kind.Word, sample.Name, sample.Text))),
        ];
        foreach (string file in (string[])[.. Directory.GetFiles(Path.Combine(Repository.Root, "examples"), "*.yaml", SearchOption.AllDirectories), .. Directory.GetFiles(folder.Path, "*.yaml", SearchOption.AllDirectories)])
        {
            string text = File.ReadAllText(file);
            bool isAlignment = text.Contains("\nalignment:", StringComparison.Ordinal) && !text.Contains("\njob:", StringComparison.Ordinal);
            if (isAlignment || Path.GetFileName(file) == "lab.yaml")
            {
                // What 'fit alignment' writes, for a job to name, and what the virtual lab is told.
                continue;
            }

            string kind = SettingsSchema.All.First(kind => text.Split('\n').Any(line => line.StartsWith($"{kind.Word}: ", StringComparison.Ordinal)) && (kind.Word is not ("machine" or "process") || !text.Contains("\njob:", StringComparison.Ordinal))).Word;
            files.Add((kind, file, text));
        }

        string[] answers = SchemaValidator.Check(Schemas(), [.. files.Select(file => (file.Kind, file.Text))]);
        Assert.Empty(files.Zip(answers).Where(pair => pair.Second.Length > 0).Select(pair => $"{pair.First.Name}: {pair.Second}"));
        Assert.True(files.Count > 40);
    }

    /// <summary>
    /// Files with one change each. What the program takes the schema takes; what it refuses the schema mostly refuses, and what it does not
    /// is of few kinds.
    /// </summary>
    [FactWith("npm")]
    public void Schemas_take_what_the_program_takes_and_refuse_wrong_files()
    {
        List<(string Kind, string Change, string Text, Diagnostic? Fault)> files =
        [
            .. SettingsSchema.All.SelectMany(kind => ChangedSettings.Of(kind).Select(changed => (kind.Word, changed.Change, changed.Text, FaultOf(kind, changed.Text)))),
        ];
        string[] answers = SchemaValidator.Check(Schemas(), [.. files.Select(file => (file.Kind, file.Text))]);
        var judged = files.Zip(answers, (file, answer) => (file.Kind, file.Change, file.Fault, Answer: answer)).ToList();

        var wrong = judged.Where(file => file.Fault is not null).ToList();
        var both = wrong.Where(file => file.Answer.Length > 0).ToList();
        output.WriteLine($"{judged.Count} files, {wrong.Count} wrong, {both.Count} of them refused by schemas");
        string[] tooStrict = [.. judged.Where(file => file.Fault is null && file.Answer.Length > 0).Select(file => $"{file.Kind} {file.Change}: {file.Answer}")];
        foreach (string file in tooStrict)
        {
            output.WriteLine($"only the schema: {file}");
        }

        foreach (var missed in wrong.Where(file => file.Answer.Length == 0))
        {
            output.WriteLine($"only the program: {missed.Kind} {missed.Change}: {missed.Fault!.Code.Id} {missed.Fault.Message}");
        }

        Assert.Empty(tooStrict);
        Assert.True(judged.Count - wrong.Count >= 200);
        Assert.True(both.Count >= 200);
        Assert.True(both.Count >= 0.9 * wrong.Count, $"{both.Count} of {wrong.Count}");
        Assert.Empty(wrong.Where(file => file.Answer.Length == 0 && !OnlyTheProgram.Contains(file.Fault!.Code)).Select(file => $"{file.Change}: {file.Fault!.Code.Id} {file.Fault.Message}"));
    }

    private static Dictionary<string, string> Schemas()
    {
        Dictionary<string, string> schemas = [];
        using var folder = new WorkFolder();
        foreach (SettingsSchema kind in SettingsSchema.All)
        {
            schemas.Add(kind.Word, folder.Run("schema", kind.Word).Expect(0).Output);
        }

        return schemas;
    }

    private static Diagnostic? FaultOf(SettingsSchema kind, string text)
    {
        try
        {
            YamlText.Read(text, null, root =>
            {
                kind.Read(root);
                return root;
            });
            return null;
        }
        catch (CompileException fault)
        {
            return fault.Diagnostic;
        }
    }
}
