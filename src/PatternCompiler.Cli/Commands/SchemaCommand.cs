using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Jobs.Schemas;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc schema</c>: a JSON Schema of a settings file, for editors.</summary>
internal static class SchemaCommand
{
    private static readonly Choice<SettingsSchema> Kinds = new([.. SettingsSchema.All.Select(schema => (schema.Word, schema))]);

    public static PatternCommand Create()
    {
        var kind = new Argument<SettingsSchema>("kind")
        {
            Description = $"Kind of settings file: {Kinds.Alternatives}.",
            HelpName = string.Join('|', Kinds.Words),
            CustomParser = result => Kinds.TryWord(result.Tokens[0].Value, out SettingsSchema? schema) ? schema : Refuse(result),
        };
        kind.CompletionSources.Add(_ => Kinds.Words.Select(word => new System.CommandLine.Completions.CompletionItem(word)));
        Option<string> output = FileOption.CreateOutput("json", "Write the schema to FILE.");
        return new PatternCommand("schema", "Write the JSON Schema of a kind of settings file, for editors.")
        {
            Details = "An editor that knows the schema completes keys and words, shows what each key means and marks what the program would refuse. 'init' writes the schemas beside the files that it makes, and names them there. The schema takes whatever the program takes; what depends on other values only the program judges.",
            Examples =
            [
                new("patternc schema machine", "prints the schema of machine files"),
                new("patternc schema job -o job.schema.json", "writes that of job files"),
            ],
            Arguments = { kind },
            Options = { output },
        }.Runs((result, context) =>
        {
            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            result.GetRequiredValue(kind).Write(file.Stream);
            file.Commit();
            return ExitCode.Done;
        });
    }

    private static SettingsSchema? Refuse(System.CommandLine.Parsing.ArgumentResult result)
    {
        result.AddError($"'{result.Tokens[0].Value}' is no kind of settings file; write {Kinds.Alternatives}");
        return null;
    }
}
