using PatternCompiler.Diagnostics;

namespace PatternCompiler.Instrument;

/// <summary>A pattern writer as its machine file describes it.</summary>
/// <param name="Name">Name given in the file.</param>
/// <param name="Dac">The converters.</param>
/// <param name="Deflection">Field and calibration.</param>
/// <param name="Settle">Waiting after jumps.</param>
/// <param name="Clock">Controller timing.</param>
/// <param name="Blanker">Beam blanker.</param>
/// <param name="Beam">Beam current, spot and energy.</param>
/// <param name="Link">Data link.</param>
public sealed record Machine(
    string Name,
    Dac Dac,
    Deflection Deflection,
    SettleModel Settle,
    Clock Clock,
    Blanker Blanker,
    Beam Beam,
    Link Link)
{
    /// <summary>How a controller that takes bare words wants them; null for <see cref="WordLayout.For"/>.</summary>
    public WordLayout? Words { get; init; }

    /// <summary>Where the beam waits before and after writing, in nanometres from the field's centre; null if the machine file does not say.</summary>
    public (double X, double Y)? ParkNanometres { get; init; }

    /// <summary>The place of the drawing that lies where the beam waits, wherever the layer is placed.</summary>
    internal (double X, double Y)? ParkOnDrawing => ParkNanometres is (double x, double y) ? Deflection.Placement?.Drawn(x, y) ?? (x, y) : null;

    /// <summary>Coarse and fine converters behind each output, or null for one converter.</summary>
    public CompositeDac? Composite { get; init; }

    /// <summary>The sample stage, or null where the file does not describe it.</summary>
    public Stage? Stage { get; init; }

    /// <summary>What the words of a motion program mean to its controller; null for those of the published list.</summary>
    public MotionDialect? Motion { get; init; }

    /// <summary>The input whose edges records can wait for, or null where there is none.</summary>
    public TriggerInput? Trigger { get; init; }

    /// <summary>What the mains does to the beam's place, for predictions; null where the file does not say.</summary>
    public Hum? Hum { get; init; }

    /// <summary>What is to be said of a file of old that is read in its own sense; null for others.</summary>
    internal Diagnostic? OldSense { get; init; }

    /// <summary>As it writes where the stage has brought a write field under the beam.</summary>
    /// <param name="field">Its name.</param>
    /// <param name="centreX">Its centre on the drawing, in nanometres.</param>
    /// <param name="centreY">Its centre on the drawing, in nanometres.</param>
    /// <exception cref="Diagnostics.CompileException">Nothing says how the field lies on the layer below, or how wide it is at its height.</exception>
    internal Machine In(string field, double centreX, double centreY)
    {
        LayerAlignment? alignment = Deflection.Alignment;
        return alignment is { Whole: null }
            ? this with { Deflection = Deflection with { Placement = alignment.Own(field) } }
            : this with { Deflection = Deflection with { Placement = StageView.Of(this, field, centreX, centreY).Placement } };
    }

    // Name, link, words, motion, hum and notes change no record; the stage does where the deflection makes up for what it leaves, or for the height.
    internal IEnumerable<SettingLine> Lines =>
    [
        Dac.Line,
        .. Deflection.Lines,
        new("composite", Composite?.Numbers ?? []),
        .. Settle.Lines,
        Clock.Line,
        Blanker.Line,
        .. Beam.Lines,
        new("park", ParkNanometres is (double x, double y) ? [x, y] : []),
        .. Trigger is null ? (SettingLine[])[] : [new("trigger", Trigger.Numbers)],
        .. StageView.LinesOf(this),
    ];
}
