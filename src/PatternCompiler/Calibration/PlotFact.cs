using PatternCompiler.Pictures;

namespace PatternCompiler.Calibration;

/// <summary>A fitted parameter as a plot's line of facts shows it.</summary>
internal static class PlotFact
{
    /// <summary>"onset 116 (112 to 120) µC/cm²", the interval only if it is known.</summary>
    public static string Of(string name, FitParameter parameter, string unit = "")
    {
        string interval = !double.IsFinite(parameter.StandardError)
            ? ""
            : $" ({FactText.Round(parameter.Low, 3)} to {FactText.Round(parameter.High, 3)})";
        return $"{name} {FactText.Round(parameter.Value, 3)}{interval}{(unit.Length > 0 ? " " + unit : "")}";
    }
}
