using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Order;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Whether spread, forward range and base doses of a process can be true of the beam and the resist. A correction chooses its own base dose.</summary>
internal static class ProcessCheck
{
    public static void Run(BuildSettings settings, DiagnosticSink sink)
    {
        (Resist process, Beam beam) = (settings.Process, settings.Machine.Beam);
        TellOfCharge(settings, sink);
        SpreadCheck.Run(process, beam.EnergyElectronvolts, sink);
        ForwardCheck.Run(process, beam.EnergyElectronvolts, sink);
        if (settings.Job.Correction is not null)
        {
            return;
        }

        BaseDoseCheck.Run(process, null, beam, sink);
        foreach (LayerSettings layer in settings.Job.Layers)
        {
            if (layer.AreaDoseCoulombsPerSquareMetre is double own)
            {
                BaseDoseCheck.Run(process with { AreaDoseCoulombsPerSquareMetre = own }, layer.Layer, beam, sink);
            }
        }
    }

    private static void TellOfCharge(BuildSettings settings, DiagnosticSink sink)
    {
        if (settings.Process.Substrate is { IsInsulating: true } substrate)
        {
            Job job = settings.Job;
            string[] orders =
            [
                .. job.Order.Order == WritingOrder.Spread ? (string[])[] : ["'order: {by: spread}'"],
                .. job.Fields is { Options.Order: not StageOrder.Spread } ? (string[])["'fields.order: spread'"] : [],
            ];
            string order = orders.Length == 0 ? "" : $"; {string.Join(" and ", orders)} in the job {CountText.Word(orders.Length, "keeps", "keep")} what follows in time apart";
            sink.Note(
                FieldCodes.Charging,
                $"{substrate.Name} is an insulator: charge that stays in it moves the beam, and nothing here predicts by how much",
                fix: $"put a grounded conductive layer on it, or write with less current{order}");
        }
    }
}
