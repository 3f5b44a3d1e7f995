namespace PatternCompiler.Passes.Route;

/// <summary>Adds up what a way would print. What is shorter than the beam is wide is a bulge, and no line.</summary>
internal struct HarmAlongWay(double shortestNanometres)
{
    private double inside;
    private double outside;
    private double doubtful;
    private double run;
    private double runOutside;
    private double doubtfulRun;
    private double doubtfulWeighted;

    /// <summary>Harm so far.</summary>
    public readonly double Harm => ToScore().Harm;

    /// <summary>Takes a piece of the track.</summary>
    /// <param name="length">Its length.</param>
    /// <param name="isOutside">It lies around the pattern.</param>
    /// <param name="prints">It prints.</param>
    /// <param name="isDoubtful">It prints or comes close to it.</param>
    public void Add(double length, bool isOutside, bool prints, bool isDoubtful)
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

        if (isDoubtful)
        {
            doubtfulRun += length;
            doubtfulWeighted += isOutside ? length * RouteScore.OutsideWeight : length;
        }
        else
        {
            EndDoubtfulRun();
        }
    }

    /// <summary>Takes what prints around a rest beyond the exposed ground that it lies in.</summary>
    public void AddRest(double overhang)
    {
        EndRun();
        EndDoubtfulRun();
        if (overhang > shortestNanometres / 2)
        {
            inside += overhang;
            doubtful += overhang;
        }
    }

    /// <summary>The score.</summary>
    public readonly RouteScore ToScore() => new(inside, outside, doubtful);

    /// <summary>Ends the stretches that are under way.</summary>
    public void End()
    {
        EndRun();
        EndDoubtfulRun();
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

    private void EndDoubtfulRun()
    {
        doubtful += doubtfulRun > shortestNanometres ? doubtfulWeighted : 0;
        (doubtfulRun, doubtfulWeighted) = (0, 0);
    }
}
