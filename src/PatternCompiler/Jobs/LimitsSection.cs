using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Limits;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a job file about the work that drawings may ask for.</summary>
internal static class LimitsSection
{
    private const long Largest = 1_000_000_000_000_000;

    public static WorkLimits Read(YamlNode node)
    {
        YamlMapping section = node.AsMapping();
        WorkLimits limits = WorkLimits.Usual;
        foreach (WorkKind kind in WorkKind.All)
        {
            if (section.Optional(kind.Key) is YamlNode amount)
            {
                limits = limits.With(kind, amount.AsInteger(0, Largest));
            }
        }

        return limits;
    }
}
