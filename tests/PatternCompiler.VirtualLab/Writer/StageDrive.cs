using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Writer;

/// <summary>
/// A stage on screws that is sent to readings. The nut follows a screw with play: going up it is pushed along, going down it stays until
/// the play is used up, and then lags above by all of it. Axes are turned, scaled and not quite square against the beam's field.
/// </summary>
public sealed class StageDrive
{
    private readonly StageTruth truth;
    private readonly Dice dice;
    private (double X, double Y) nut;
    private (double X, double Y) scatter;

    /// <summary>A stage that stands somewhere and has come from anywhere.</summary>
    public StageDrive(StageTruth truth, Dice dice)
    {
        (this.truth, this.dice) = (truth, dice);
        nut = (dice.Between(-1e6, 1e6), dice.Between(-1e6, 1e6));
        Reading = nut;
    }

    /// <summary>What the screws show.</summary>
    public (double X, double Y) Reading { get; private set; }

    /// <summary>Place of the sample under the undeflected beam, along the beam's axes.</summary>
    public (double X, double Y) Under
    {
        get
        {
            double along = (truth.InvertX ? -1 : 1) * truth.ScaleX * (nut.X - truth.OriginNanometres.X);
            double across = (truth.InvertY ? -1 : 1) * truth.ScaleY * (nut.Y - truth.OriginNanometres.Y);
            (double sineX, double cosineX) = Math.SinCos(truth.RotationRadians);
            (double sineY, double cosineY) = Math.SinCos(truth.RotationRadians + (Math.PI / 2) - truth.SkewRadians);
            return ((along * cosineX) + (across * cosineY) + scatter.X, (along * sineX) + (across * sineY) + scatter.Y);
        }
    }

    /// <summary>Turns the screws to a reading, or to the nearest one at which they stop.</summary>
    public void MoveTo(double x, double y)
    {
        Reading = (Stop(x), Stop(y));
        nut = (Math.Clamp(nut.X, Reading.X, Reading.X + truth.BacklashXNanometres), Math.Clamp(nut.Y, Reading.Y, Reading.Y + truth.BacklashYNanometres));
        scatter = (dice.Normal(0, truth.RepeatNanometres), dice.Normal(0, truth.RepeatNanometres));
    }

    private double Stop(double reading) => truth.StepNanometres > 0 ? Math.Round(reading / truth.StepNanometres) * truth.StepNanometres : reading;
}
