namespace PatternCompiler.VirtualLab.Truth;

/// <summary>The microscope as a camera and a ruler.</summary>
/// <param name="ScaleError">A stated nanometre is this much more than one.</param>
/// <param name="RotationRadians">Of the picture against the pattern.</param>
/// <param name="BlurNanometres">Standard deviation of its Gaussian blur.</param>
/// <param name="ElectronsPerPixel">Detected where the signal is 1; sets the Poisson noise.</param>
/// <param name="SubstrateSignal">Signal of bare substrate, 0 to 1.</param>
/// <param name="ResistSignal">Signal of whole resist, 0 to 1.</param>
/// <param name="EdgeSignal">Added at the crest of an edge.</param>
/// <param name="EdgeNanometres">Standard deviation of that crest.</param>
/// <param name="ShadingX">Change of the signal from the left to the right border, as a part of it.</param>
/// <param name="ShadingY">Change from the bottom to the top.</param>
public sealed record MicroscopeTruth(
    double ScaleError,
    double RotationRadians,
    double BlurNanometres,
    double ElectronsPerPixel,
    double SubstrateSignal,
    double ResistSignal,
    double EdgeSignal,
    double EdgeNanometres,
    double ShadingX,
    double ShadingY)
{
    internal static MicroscopeTruth Draw(Dice dice)
    {
        double substrate = dice.Between(0.25, 0.45), step = dice.Between(0.1, 0.3);
        return new MicroscopeTruth(
            dice.Normal(0, 0.01), dice.Normal(0, 0.02), dice.Between(3, 8), dice.Ratio(60, 600),
            substrate, substrate + step, dice.Between(0, 0.3), dice.Between(5, 12), dice.Between(-0.2, 0.2), dice.Between(-0.2, 0.2));
    }
}
