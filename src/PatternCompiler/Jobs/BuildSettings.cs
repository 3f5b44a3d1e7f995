using PatternCompiler.Instrument;

namespace PatternCompiler.Jobs;

/// <summary>Everything that decides what a build makes of its drawings.</summary>
/// <param name="Job">The job.</param>
/// <param name="Machine">The pattern writer.</param>
/// <param name="Process">Resist and doses.</param>
public sealed record BuildSettings(Job Job, Machine Machine, Resist Process)
{
    private readonly Machine machine = Machine;
    private readonly Resist process = Process;
    private (string Name, double X, double Y)? writeField;

    /// <summary>The pattern writer; where the job places its layer on another, the deflection knows it.</summary>
    public Machine Machine
    {
        get
        {
            Machine aligned = Job.Alignment is { Layers: var alignment } ? machine with { Deflection = machine.Deflection with { Alignment = alignment } } : machine;
            return writeField is var (name, x, y) ? aligned.In(name, x, y) : aligned.Deflection.Alignment is null ? aligned : aligned with { Deflection = Placed(aligned.Deflection) };
        }

        init => machine = value;
    }

    /// <summary>Resist and doses; a forward range that is not stated is that of the beam energy of whatever machine is set.</summary>
    /// <exception cref="Diagnostics.CompileException">The film is too thick for that energy.</exception>
    public Resist Process
    {
        get => process.WrittenAt(machine.Beam.EnergyElectronvolts);
        init => process = value;
    }

    /// <summary>Version of the program, for reports.</summary>
    public string ToolVersion { get; init; } = "of unknown version";

    /// <summary>Each write field lies elsewhere under the beam, and nobody has said which of them is meant.</summary>
    internal bool NeedsField => Job.Fields is not null && (Job.Alignment is not null || machine.Stage is { LeavesRemainders: true }) && writeField is null;

    /// <summary>The same where the stage has brought a write field under the beam.</summary>
    /// <param name="name">The field.</param>
    /// <param name="centre">Its centre on the drawing, in nanometres.</param>
    internal BuildSettings In(string name, (double X, double Y) centre) => Job.Fields is null ? this : this with { writeField = (name, centre.X, centre.Y) };

    private Deflection Placed(Deflection deflection) => deflection.Alignment switch
    {
        null => deflection,
        { Whole: { } whole } when Job.Fields is null => deflection with { Placement = whole },
        { } alignment => deflection with { Placement = alignment.Turn },
    };

    /// <summary>A job with the machine and process that it names, or the built-in ones.</summary>
    /// <exception cref="Diagnostics.CompileException">A file cannot be read or is wrong.</exception>
    public static BuildSettings Read(Job job) => new(
        job,
        job.MachinePath is null ? DefaultFiles.Machine : MachineFile.Read(job.MachinePath),
        job.ProcessPath is null ? DefaultFiles.Process : ProcessFile.Read(job.ProcessPath));

    /// <summary>
    /// A drawing without any settings file: built-in job, machine and process; a framed stream named after the drawing in
    /// the current folder.
    /// </summary>
    public static BuildSettings ForDrawing(string path)
    {
        string name = path == "-" ? "pattern" : Path.GetFileNameWithoutExtension(path);
        return Read(DefaultFiles.Job with
        {
            Name = name,
            Sources = [new JobSource(path)],
            Outputs = [new JobOutput(name + ".stream", OutputFormat.Stream)],
        });
    }
}
