using System.Collections.Frozen;

namespace PatternCompiler.Cli.Manual;

/// <summary>What a manual page points to: the neighbours in the chain of stages, and what is used together.</summary>
internal static class RelatedCommands
{
    private static readonly FrozenDictionary<string, string[]> Related = new Dictionary<string, string[]>
    {
        ["build"] = ["batch", "estimate", "preview", "init"],
        ["batch"] = ["build", "compare"],
        ["parse"] = ["boolean", "offset", "fracture", "export"],
        ["boolean"] = ["parse", "offset", "fracture"],
        ["offset"] = ["parse", "boolean", "fracture"],
        ["fracture"] = ["parse", "correct", "split", "fill"],
        ["correct"] = ["fracture", "fill", "simulate", "fit"],
        ["split"] = ["fracture", "fill", "build"],
        ["fill"] = ["fracture", "correct", "split", "scale"],
        ["scale"] = ["fill", "emit", "fit"],
        ["emit"] = ["scale", "decode", "send"],
        ["decode"] = ["emit", "preview"],
        ["plan"] = ["estimate", "fill", "init"],
        ["estimate"] = ["plan", "build", "simulate"],
        ["simulate"] = ["estimate", "correct", "compare"],
        ["compare"] = ["batch", "simulate", "preview"],
        ["run"] = ["build", "send", "log"],
        ["send"] = ["build", "emit", "run", "log"],
        ["log"] = ["run", "send", "repeat"],
        ["repeat"] = ["log", "build", "compare"],
        ["preview"] = ["export", "compare"],
        ["export"] = ["parse", "preview"],
        ["generate"] = ["build", "preview", "fit"],
        ["measure"] = ["generate", "fit", "simulate"],
        ["locate"] = ["generate", "measure", "fit"],
        ["fit"] = ["generate", "measure", "locate", "init", "correct"],
        ["init"] = ["build", "fit", "schema"],
        ["schema"] = ["init"],
        ["explain"] = ["help"],
        ["completions"] = ["help"],
        ["help"] = ["explain", "completions"],
    }.ToFrozenDictionary(StringComparer.Ordinal);

    /// <summary>Names of commands that go with one.</summary>
    public static IReadOnlyList<string> Of(string command) => Related.GetValueOrDefault(command) ?? [];
}
