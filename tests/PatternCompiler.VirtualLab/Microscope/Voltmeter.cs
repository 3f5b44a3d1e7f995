using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>A voltmeter at the scan inputs: every reading with its noise, rounded to ten microvolts.</summary>
public sealed class Voltmeter(Outputs outputs, Dice dice, double errorVolts)
{
    private const double Resolution = 1e-5;

    /// <summary>The X or the Y input while both outputs stand at codes.</summary>
    public double Read(char axis, int codeX, int codeY)
    {
        (double x, double y) = outputs.VoltsAt(codeX, codeY);
        return Math.Round(((axis == 'x' ? x : y) + dice.Normal(0, errorVolts)) / Resolution) * Resolution;
    }
}
