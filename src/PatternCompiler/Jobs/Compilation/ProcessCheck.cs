using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Whether spread, forward range and base doses of a process can be true of the beam and the resist. A correction chooses its own base dose.</summary>
internal static class ProcessCheck
{
    public static void Run(BuildSettings settings, DiagnosticSink sink)
    {
        (Resist process, Beam beam) = (settings.Process, settings.Machine.Beam);
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
}
