using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.VirtualLab.Writer;

/// <summary>
/// Where the stage really stops: its axes are turned about the first visit, a reading lags by the backlash after a change of
/// sense, and no stop is quite like another. Both axes start as if they had come upward.
/// </summary>
internal sealed class StageState(StageTruth truth, Dice dice)
{
    private FieldVisit? first;
    private FieldVisit? last;
    private double slackX;
    private double slackY;

    /// <summary>Place of the pattern that is under the undeflected beam.</summary>
    public (double X, double Y) Visit(FieldVisit visit)
    {
        first ??= visit;
        if (last is not null)
        {
            slackX = Slack(slackX, visit.CentreXNanometres - last.CentreXNanometres, truth.BacklashXNanometres);
            slackY = Slack(slackY, visit.CentreYNanometres - last.CentreYNanometres, truth.BacklashYNanometres);
        }

        last = visit;
        double x = visit.CentreXNanometres - first.CentreXNanometres, y = visit.CentreYNanometres - first.CentreYNanometres;
        (double sine, double cosine) = Math.SinCos(truth.RotationRadians);
        return (
            first.CentreXNanometres + (cosine * x) - (sine * y) + slackX + dice.Normal(0, truth.RepeatNanometres),
            first.CentreYNanometres + (sine * x) + (cosine * y) + slackY + dice.Normal(0, truth.RepeatNanometres));
    }

    // Moving up takes the slack out, moving down leaves the stage so much above where it should be.
    private static double Slack(double slack, double move, double backlash) => move > 0 ? 0 : move < 0 ? backlash : slack;
}
