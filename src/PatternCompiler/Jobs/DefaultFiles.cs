using PatternCompiler.Instrument;

namespace PatternCompiler.Jobs;

/// <summary>The built-in machine, process and job, for a first result without any file.</summary>
public static class DefaultFiles
{
    /// <summary>Text of the built-in machine file.</summary>
    public static string MachineText => Read("machine.yaml");

    /// <summary>Text of the built-in process file.</summary>
    public static string ProcessText => Read("process.yaml");

    /// <summary>Text of the built-in job file.</summary>
    public static string JobText => Read("job.yaml");

    /// <summary>The built-in machine.</summary>
    public static Machine Machine => MachineFile.Parse(MachineText, "built-in machine.yaml");

    /// <summary>Base doses of the built-in process.</summary>
    public static Resist Process => ProcessFile.Parse(ProcessText, "built-in process.yaml");

    /// <summary>The built-in job: settings only, without sources and outputs.</summary>
    public static Job Job => JobFile.Parse(JobText, null);

    private static string Read(string name)
    {
        using Stream stream = typeof(DefaultFiles).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The resource {name} is missing.");
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
