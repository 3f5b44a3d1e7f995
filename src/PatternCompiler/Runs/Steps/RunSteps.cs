using System.Collections.Immutable;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Runs.Steps;

/// <summary>Divides a compiled pattern into the steps of its run: fields, groups of layers, copies. What is written is fractured and corrected once.</summary>
internal static class RunSteps
{
    private const string Only = "pattern";

    /// <summary>The steps in the order in which they are written.</summary>
    /// <param name="parts">The figures of each position of the stage.</param>
    /// <param name="settings">Job and machine.</param>
    /// <exception cref="CompileException">A group names a layer that is not written, or a copy does not fit the field.</exception>
    public static ImmutableArray<RunStep> Of(IReadOnlyList<(StagePosition Position, FiguresDocument Figures)> parts, BuildSettings settings)
    {
        RunSettings run = settings.Job.Run;
        ImmutableArray<RunStep>.Builder steps = ImmutableArray.CreateBuilder<RunStep>();
        var written = parts.SelectMany(part => part.Figures.Figures.Select(figure => part.Figures.Header.Layers[figure.Layer])).ToHashSet(StringComparer.Ordinal);
        if (run.Groups.SelectMany(group => group.Layers).FirstOrDefault(layer => !written.Contains(layer)) is { } missing)
        {
            throw new CompileException(
                RunCodes.NoSuchLayer,
                $"'run.groups' names layer '{missing}', on which nothing is written; there is {string.Join(", ", written.Order(StringComparer.Ordinal).Select(layer => $"'{layer}'"))}",
                new SourcePlace(settings.Job.File),
                "correct the name, or leave it out");
        }

        foreach ((StagePosition position, FiguresDocument figures) in parts)
        {
            string? field = position.Field?.Name;
            foreach ((string? group, FiguresDocument piece) in Pieces(figures, run))
            {
                string name = string.Join(' ', new[] { field, group }.OfType<string>());
                steps.Add(new RunStep(name.Length == 0 ? Only : name, position, piece, 1, null));
            }
        }

        return run.Copies.IsEmpty ? steps.DrainToImmutable() : [.. run.Copies.SelectMany(copy => steps.Select(step => Copied(step, copy, steps.Count > 1, settings)))];
    }

    /// <summary>What is written together, in the order of the pattern.</summary>
    private static IEnumerable<(string? Group, FiguresDocument Figures)> Pieces(FiguresDocument figures, RunSettings run)
    {
        ImmutableArray<string> layers = figures.Header.Layers;
        IEnumerable<(string Name, IEnumerable<string> Layers)> groups = run.HoldsBetweenLayers
            ? figures.Figures.Select(figure => figure.Layer).Distinct().Select(layer => ($"layer {layers[layer]}", (IEnumerable<string>)[layers[layer]]))
            : run.Groups.Select(group => (group.Name, (IEnumerable<string>)group.Layers));
        if (!run.HoldsBetweenLayers && run.Groups.IsEmpty)
        {
            yield return (null, figures);
            yield break;
        }

        var grouped = new HashSet<string>(StringComparer.Ordinal);
        foreach ((string name, IEnumerable<string> members) in groups)
        {
            grouped.UnionWith(members);
            Figure[] piece = [.. figures.Figures.Where(figure => members.Contains(layers[figure.Layer]))];
            if (piece.Length > 0)
            {
                yield return (name, figures with { Figures = piece });
            }
        }

        Figure[] others = [.. figures.Figures.Where(figure => !grouped.Contains(layers[figure.Layer]))];
        if (others.Length > 0)
        {
            yield return (RunSettings.Rest, figures with { Figures = others });
        }
    }

    private static RunStep Copied(RunStep step, RunCopy copy, bool isOneOfSeveral, BuildSettings settings)
    {
        FiguresHeader header = step.Figures.Header;
        var by = new GridPoint(Steps(copy.XNanometres), Steps(copy.YNanometres));
        var factor = DoseFactor.FromValue(copy.DoseFactor);
        FiguresDocument moved = new(header, [.. step.Figures.Figures.Select(figure => FigureFrame.From(figure, new GridPoint(-by.X, -by.Y)) with { DoseFactor = Product(figure.DoseFactor) })]);
        FieldCheck.Run(moved, new DacMapping(settings.Machine.Dac, settings.Machine.Deflection));
        return step with { Name = isOneOfSeveral ? $"{copy.Name} {step.Name}" : copy.Name, Figures = moved, DoseFactor = copy.DoseFactor, Focus = copy.Focus };

        // Of a figure's own factor, so that layers with a base dose of their own follow, too.
        DoseFactor Product(DoseFactor own) => own.Value * copy.DoseFactor <= DoseFactor.Largest.Value
            ? own * factor
            : throw new CompileException(
                RunCodes.DoseTooHigh,
                $"'{copy.Name}' asks for {NumberText.Format(copy.DoseFactor)} times the dose, which makes a dose factor of {own} larger than {DoseFactor.Largest}",
                new SourcePlace(settings.Job.File),
                "lower the copy's 'dose', and raise the base dose of the process instead");

        int Steps(double nanometres)
        {
            double steps = nanometres * 1000 / header.GridPicometres;
            return Math.Abs(steps) <= GridPoint.Limit
                ? (int)Math.Round(steps)
                : throw new CompileException(RunCodes.CopyTooFar, $"'{copy.Name}' lies beyond all coordinates", new SourcePlace(settings.Job.File), "look for a wrong unit");
        }
    }
}
