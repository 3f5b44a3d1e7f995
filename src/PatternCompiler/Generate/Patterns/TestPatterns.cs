using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Generate.Patterns;

/// <summary>Every test pattern.</summary>
internal static class TestPatterns
{
    /// <summary>In the order in which a new machine wants them.</summary>
    public static ImmutableArray<TestPattern> All { get; } =
    [
        FocusTarget.Pattern,
        DoseMatrix.Pattern,
        DoseWedge.Pattern,
        LinesAndDots.Pattern,
        LineSpace.Pattern,
        ResolutionStar.Pattern,
        FieldGrid.Pattern,
        DacTarget.Pattern,
        SettlingTarget.Pattern,
        BlankerTarget.Pattern,
        HumTarget.Pattern,
        StitchingVernier.Pattern,
        Grating.Pattern,
        ZonePlate.Pattern,
        Interdigitated.Pattern,
        ContactPads.Pattern,
    ];

    /// <summary>The pattern of a name; an unknown name is an error that suggests the nearest.</summary>
    public static TestPattern Find(string name)
    {
        foreach (TestPattern pattern in All)
        {
            if (string.Equals(pattern.Name, name, StringComparison.Ordinal))
            {
                return pattern;
            }
        }

        string? nearest = NearestWord.Find(name, All.Select(p => p.Name));
        throw new CompileException(
            GenerateCodes.UnknownPattern,
            $"there is no test pattern '{name}'",
            fix: nearest is null ? $"there are {string.Join(", ", All.Select(p => p.Name))}" : $"did you mean '{nearest}'?");
    }
}
