using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab;

/// <summary>A lab: writes streams on a sample and lets it be looked at. Its truth stays inside.</summary>
public sealed class Laboratory(LabTruth truth)
{
    private readonly Dice stops = new(truth.Seed, "stops of the stage");
    private readonly List<(double X, double Y)> stopped = [];

    public LabTruth Truth => truth;

    /// <summary>Where the stage has stopped, visit by visit: for verdicts alone.</summary>
    public IReadOnlyList<(double X, double Y)> Stops => stopped;

    /// <summary>Writes one stream with the stage at rest.</summary>
    public Sample Write(DecodedExposure stream)
    {
        var deposits = new Deposits();
        new StreamExecution(truth, stream.Header, deposits, 0, 0, 0).Play(stream.Records);
        return new Sample(truth, deposits);
    }

    /// <summary>Writes one stream with the stage at rest, begun so long after the lab's clock was started.</summary>
    public Sample WriteAt(DecodedExposure stream, double startSeconds, out double endSeconds) => WriteOn(new Deposits(), stream, startSeconds, (0, 0), out endSeconds);

    /// <summary>Writes one stream on what was written before.</summary>
    /// <param name="before">All charge so far; this stream's is added.</param>
    /// <param name="stream">The stream.</param>
    /// <param name="startSeconds">When it is begun.</param>
    /// <param name="under">Place of the sample under the undeflected beam, in nanometres.</param>
    /// <param name="endSeconds">When the beam is off again.</param>
    public Sample WriteOn(Deposits before, DecodedExposure stream, double startSeconds, (double X, double Y) under, out double endSeconds)
    {
        endSeconds = new StreamExecution(truth, stream.Header, before, startSeconds, under.X, under.Y).Play(stream.Records);
        return new Sample(truth, before);
    }

    /// <summary>Plays a stream over a sample that was written before, and records the detector; what the beam leaves on it comes back.</summary>
    public Sample Look(DecodedExposure stream, Detector detector)
    {
        var deposits = new Deposits();
        new StreamExecution(truth, stream.Header, deposits, 0, 0, 0, detector.See).Play(stream.Records);
        return new Sample(truth, deposits);
    }

    /// <summary>Writes the streams of a manifest, moving the stage between them.</summary>
    public Sample WriteFields(string manifestPath)
    {
        var deposits = new Deposits();
        var stage = new StageState(truth.Stage, stops);
        double time = 0;
        foreach (FieldVisit visit in FieldManifest.Read(manifestPath))
        {
            time += visit.MoveSeconds;
            (double x, double y) = stage.Visit(visit);
            stopped.Add((x, y));
            foreach (string path in visit.Streams)
            {
                DecodedExposure stream = DecodedExposure.Read(path);
                time = new StreamExecution(truth, stream.Header, deposits, time, x, y).Play(stream.Records);
            }
        }

        return new Sample(truth, deposits);
    }

    /// <summary>Writes the streams of a manifest, the stage sent by its readings alone and by the way round that the manifest asks for.</summary>
    /// <param name="manifestPath">The manifest.</param>
    /// <param name="drive">The stage, wherever it stands.</param>
    public Sample WriteByReadings(string manifestPath, StageDrive drive)
    {
        var deposits = new Deposits();
        double time = 0;
        foreach (FieldVisit visit in FieldManifest.Read(manifestPath))
        {
            time += visit.MoveSeconds;
            if (visit.FromNanometres is (double fromX, double fromY))
            {
                drive.MoveTo(fromX, fromY);
            }

            drive.MoveTo(visit.StageXNanometres, visit.StageYNanometres);
            (double x, double y) = drive.Under;
            stopped.Add((x, y));
            foreach (string path in visit.Streams)
            {
                DecodedExposure stream = DecodedExposure.Read(path);
                time = new StreamExecution(truth, stream.Header, deposits, time, x, y).Play(stream.Records);
            }
        }

        return new Sample(truth, deposits);
    }

    /// <summary>Current in a Faraday cup, in picoamperes, so long after the start, to half a percent.</summary>
    public double CurrentReading(double seconds, Dice dice) => truth.Column.CurrentAt(seconds) * (1 + dice.Normal(0, 0.005));
}
