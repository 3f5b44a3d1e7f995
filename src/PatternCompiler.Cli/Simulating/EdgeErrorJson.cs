using System.Text.Json;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Cli.Simulating;

/// <summary>Edge errors as JSON, the same for prints that are predicted and prints that are measured.</summary>
internal static class EdgeErrorJson
{
    /// <summary>Writes the property <c>edges</c>.</summary>
    /// <param name="json">Receives it.</param>
    /// <param name="edges">The errors.</param>
    /// <param name="noiseNanometres">Standard error of a place, where it was measured.</param>
    public static void Write(Utf8JsonWriter json, EdgeErrorReport edges, double? noiseNanometres = null)
    {
        json.WriteStartObject("edges");
        json.WriteNumber("samples", edges.Samples);
        json.WriteNumber("lost", edges.Lost);
        json.WriteNumber("meanNanometres", edges.MeanNanometres);
        json.WriteNumber("threeSigmaNanometres", edges.ThreeSigmaNanometres);
        json.WriteNumber("worstNanometres", edges.WorstNanometres);
        if (noiseNanometres is double noise)
        {
            json.WriteNumber("noiseNanometres", noise);
        }

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
    }
}
