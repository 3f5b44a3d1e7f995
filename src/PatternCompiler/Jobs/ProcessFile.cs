using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads a process file: the resist and its doses. The format is explained in the built-in process file.</summary>
public static class ProcessFile
{
    /// <summary>Reads a process file from disk.</summary>
    /// <exception cref="CompileException">The file cannot be read or is wrong.</exception>
    public static Resist Read(string path) => Parse(SettingsText.Read(path, "process"), path);

    /// <summary>Reads the text of a process file.</summary>
    /// <param name="yaml">The text.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="CompileException">The file is wrong; the error names line, key and remedy.</exception>
    public static Resist Parse(string yaml, string? file)
    {
        YamlMapping root = YamlText.Parse(yaml, file).AsMapping("process", "dose");
        YamlMapping dose = root.Required("dose").AsMapping("area", "line", "dot", "onset");
        double area = dose.Required("area").AsPositive(Unit.CoulombPerSquareMetre);
        double onset = dose.Required("onset").AsPositive(Unit.CoulombPerSquareMetre);
        if (onset > area)
        {
            throw dose.Required("onset").OutOfRange(
                $"'dose.onset' is {dose.Required("onset").AsText()}, above the area dose of {dose.Required("area").AsText()}",
                "the onset is the dose at which the resist starts to react, below the dose that clears it");
        }

        return new Resist(
            root.Required("process").AsText(),
            area,
            dose.Required("line").AsPositive(Unit.CoulombPerMetre),
            dose.Required("dot").AsPositive(Unit.Coulomb),
            onset);
    }
}
