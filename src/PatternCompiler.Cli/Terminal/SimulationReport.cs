using System.Globalization;
using System.Text;
using System.Text.Json;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Terminal;

/// <summary>A simulation for people and for scripts.</summary>
internal static class SimulationReport
{
    private const int MostStrays = 20;

    /// <summary>A plain table.</summary>
    public static string Text(SimulationResult simulated)
    {
        var text = new StringBuilder();
        Line(text, "charge deposited", QuantityText.Format(simulated.ChargeCoulombs, Dimension.Charge));
        Line(text, "printed outlines", simulated.Printed.Count.ToString(CultureInfo.InvariantCulture));
        if (simulated.Edges is { } edges)
        {
            Line(text, "edges measured", $"{edges.Samples} places, {edges.Lost} of them without a printed edge in reach");
            Line(text, "edge error", $"{Signed(edges.MeanNanometres)} mean, {Nanometres(edges.ThreeSigmaNanometres)} 3 sigma, {Signed(edges.WorstNanometres)} at worst");
            foreach (EdgeError error in edges.Worst)
            {
                Line(text, "", $"{Signed(error.Nanometres)} at ({Micrometres(error.XNanometres)}, {Micrometres(error.YNanometres)}) um");
            }

            Line(text, "strays", simulated.Strays.Length == 0 ? "nothing prints where nothing is drawn" : $"{simulated.Strays.Length} places print where nothing is drawn");
            foreach (StrayArea stray in simulated.Strays.Take(MostStrays))
            {
                SampleWindow w = stray.Window;
                Line(text, "", $"({Micrometres(w.Left)}, {Micrometres(w.Bottom)}) to ({Micrometres(w.Right)}, {Micrometres(w.Top)}) um, {stray.AreaSquareNanometres.ToString("0", CultureInfo.InvariantCulture)} nm2");
            }
        }

        return text.ToString();
    }

    /// <summary>One JSON object and a line feed.</summary>
    public static void WriteJson(SimulationResult simulated, Stream output)
    {
        using (var json = new Utf8JsonWriter(output, new JsonWriterOptions { Indented = true }))
        {
            json.WriteStartObject();
            json.WriteNumber("chargeCoulombs", simulated.ChargeCoulombs);
            json.WriteNumber("printedOutlines", simulated.Printed.Count);
            if (simulated.Edges is { } edges)
            {
                json.WriteStartObject("edges");
                json.WriteNumber("samples", edges.Samples);
                json.WriteNumber("lost", edges.Lost);
                json.WriteNumber("meanNanometres", edges.MeanNanometres);
                json.WriteNumber("threeSigmaNanometres", edges.ThreeSigmaNanometres);
                json.WriteNumber("worstNanometres", edges.WorstNanometres);
                json.WriteStartArray("worst");
                foreach (EdgeError error in edges.Worst)
                {
                    json.WriteStartObject();
                    json.WriteNumber("xNanometres", error.XNanometres);
                    json.WriteNumber("yNanometres", error.YNanometres);
                    json.WriteNumber("nanometres", error.Nanometres);
                    json.WriteEndObject();
                }

                json.WriteEndArray();
                json.WriteEndObject();
                json.WriteStartArray("strays");
                foreach (StrayArea stray in simulated.Strays)
                {
                    json.WriteStartObject();
                    json.WriteNumber("leftNanometres", stray.Window.Left);
                    json.WriteNumber("bottomNanometres", stray.Window.Bottom);
                    json.WriteNumber("rightNanometres", stray.Window.Right);
                    json.WriteNumber("topNanometres", stray.Window.Top);
                    json.WriteNumber("areaSquareNanometres", stray.AreaSquareNanometres);
                    json.WriteEndObject();
                }

                json.WriteEndArray();
            }

            json.WriteEndObject();
        }

        output.Write("\n"u8);
    }

    private static void Line(StringBuilder text, string name, string value) => text.Append(name.PadRight(20)).Append(value).Append('\n');

    private static string Nanometres(double value) => value.ToString("0.##", CultureInfo.InvariantCulture) + " nm";

    private static string Signed(double value) => value.ToString("+0.##;-0.##;0", CultureInfo.InvariantCulture) + " nm";

    private static string Micrometres(double nanometres) => (nanometres / 1000).ToString("0.###", CultureInfo.InvariantCulture);
}
