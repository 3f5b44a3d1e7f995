using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Sees that the converters reach all that a division into write fields asks for: a distorted field may reach less far than its width says.</summary>
internal static class FieldReach
{
    /// <summary>Throws an error about the first field that is too large.</summary>
    public static void Require(DividedPattern divided, Func<WriteField, DacMapping> mappingOf)
    {
        for (int i = 0; i < divided.Figures.Length; i++)
        {
            try
            {
                FieldCheck.Run(divided.Figures[i], mappingOf(divided.Plan.Fields[i]));
            }
            catch (CompileException fault)
            {
                throw FieldMessages.In(divided.Plan.Fields[i], new CompileException(fault.Diagnostic with { Fix = "make the write fields smaller ('fields.size' in the job)" }, fault));
            }
        }
    }
}
