using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Runs.Steps;

/// <summary>One hash for all that the steps of a run write, before doses become dwells: a resumed run must write the same.</summary>
internal static class PatternHash
{
    /// <summary>SHA-256 over names, places, dose factors and figures of all steps.</summary>
    public static string Of(IEnumerable<RunStep> steps)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (RunStep step in steps)
        {
            hash.AppendData(Encoding.UTF8.GetBytes(FormattableString.Invariant(
                $"{step.Name}\n{step.Position.XFemtometres} {step.Position.YFemtometres} {step.Position.StageXNanometres:R} {step.Position.StageYNanometres:R} {step.DoseFactor:R} {step.Focus}\n")));
            using var bytes = new MemoryStream();
            step.Figures.PushTo(new FiguresBinaryWriter(bytes), CancellationToken.None);
            hash.AppendData(bytes.ToArray());
        }

        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }
}
