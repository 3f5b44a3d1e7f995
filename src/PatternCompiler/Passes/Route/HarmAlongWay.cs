namespace PatternCompiler.Passes.Route;

/// <summary>Adds up what a way would print. What is shorter than the beam is wide is a bulge, and no line.</summary>
internal struct HarmAlongWay(double shortestNanometres)
{
    private double inside;
    private double outside;
    private double marginal;
    private double run;
    private double runOutside;
    private double marginalRun;
    private double marginalWeighted;

    /// <summary>Harm so far.</summary>
    public readonly double Harm => ToScore().Harm;

    /// <summary>Takes a piece of the track.</summary>
    /// <param name="length">Its length.</param>
    /// <param name="isOutside">It lies around the pattern.</param>
    /// <param name="prints">It prints.</param>
    /// <param name="isMarginal">It prints or comes close to it.</param>
    public void Add(double length, bool isOutside, bool prints, bool isMarginal)
    {
        if (prints)
        {
            run += length;
            runOutside += isOutside ? length : 0;
        }
        else
        {
            EndRun();
        }

        if (isMarginal)
        {
            marginalRun += length;
            marginalWeighted += isOutside ? length * RouteScore.OutsideWeight : length;
        }
        else
        {
            EndMarginalRun();
        }
    }

    /// <summary>Takes what prints around a rest beyond the exposed area that it lies in.</summary>
    public void AddRest(double overhang)
    {
        EndRun();
        EndMarginalRun();
        if (overhang > shortestNanometres / 2)
        {
            inside += overhang;
            marginal += overhang;
        }
    }

    /// <summary>The score.</summary>
    public readonly RouteScore ToScore() => new(inside, outside, marginal);

    /// <summary>Ends the stretches that are under way.</summary>
    public void End()
    {
        EndRun();
        EndMarginalRun();
    }

    private void EndRun()
    {
        if (run > shortestNanometres)
        {
            inside += run - runOutside;
            outside += runOutside;
        }

        (run, runOutside) = (0, 0);
    }

    private void EndMarginalRun()
    {
        marginal += marginalRun > shortestNanometres ? marginalWeighted : 0;
        (marginalRun, marginalWeighted) = (0, 0);
    }
}
