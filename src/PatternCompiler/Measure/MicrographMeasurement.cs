using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Measure;

/// <summary>
/// Measures a micrograph against a drawing: finds its place, fits the profile of an edge to the picture, looks for every drawn edge,
/// and takes from the edges what was asked for.
/// </summary>
internal sealed class MicrographMeasurement
{
    // Edges that are found by chance lie anywhere in reach: 0.58 of it, root mean square.
    private const double LargestMissWhereMarginal = 0.2;
    private const double LargestScaleError = 0.005;
    private const double NotableScale = 0.01;
    private const double ScaleErrors = 4;

    private readonly Micrograph picture;
    private readonly FlatLayout layout;
    private readonly MeasureOptions options;
    private readonly SourcePlace place;
    private readonly DiagnosticSink sink;
    private readonly CancellationToken cancellation;
    private readonly int rows;

    private MicrographMeasurement(Micrograph picture, FlatLayout layout, MeasureOptions options, SourcePlace place, DiagnosticSink sink, CancellationToken cancellation)
    {
        (this.picture, this.layout, this.options, this.place, this.sink, this.cancellation) = (picture, layout, options, place, sink, cancellation);
        rows = PictureCheck.PictureRows(picture);
    }

    /// <summary>Measures a picture.</summary>
    /// <param name="picture">The micrograph.</param>
    /// <param name="layout">What is drawn.</param>
    /// <param name="options">How.</param>
    /// <param name="name">The picture's file, for messages.</param>
    /// <param name="sink">Takes warnings.</param>
    /// <param name="cancellation">Ends the work early.</param>
    /// <exception cref="CompileException">The picture does not show the drawing, or not well enough.</exception>
    public static MeasuredPicture Run(
        Micrograph picture, FlatLayout layout, MeasureOptions options, string name, DiagnosticSink sink, CancellationToken cancellation = default) =>
        new MicrographMeasurement(picture, layout, options, new SourcePlace(name), sink, cancellation).Run();

    private MeasuredPicture Run()
    {
        double noise = PictureCheck.Require(picture, rows, place);
        var pattern = DrawnPattern.Of(layout, null, options.Limits, cancellation);
        if (pattern.Areas.Count == 0)
        {
            throw new CompileException(MeasureCodes.NotInPicture, "the drawing holds no areas, and only their edges are measured", place, "name a drawing with areas");
        }

        MapCandidate coarse = Registrar.Run(
            picture, rows, pattern, new DoseBands(layout, cancellation), layout.GridPicometres, options.PixelNanometres, options.Freedom != MapFreedom.Rigid, options.Window, place, cancellation);
        PictureMap map = coarse.Map;
        double shown = map.NanometresPerPixel * Math.Max(picture.Width, rows);
        SampleWindow around = new SampleWindow(map.CentreX, map.CentreY, map.CentreX, map.CentreY).Widened(shown);
        var outlines = new DrawnOutlines(pattern.Areas, layout.GridPicometres, around);
        FoundEdges found = new EdgeFinder(picture, rows, outlines, options, place, coarse, noise, cancellation).Find();
        return Conclude(coarse, pattern, outlines, found);
    }

    private void RequireInPlace(FineRegistration fine, double explained)
    {
        if (explained < EdgeFinder.MarginalExplained && fine.ResidualNanometres > LargestMissWhereMarginal * options.SearchNanometres)
        {
            throw new CompileException(
                MeasureCodes.Unrelated,
                FormattableString.Invariant($"the drawing explains only {100 * explained:0} % of this picture, and its edges lie {fine.ResidualNanometres:0} nm (root mean square) from where they are drawn: it shows something else"),
                place,
                "name the drawing that was written there; if edges are off so far, look for them with a larger --search");
        }
    }

    private MeasuredPicture Conclude(MapCandidate coarse, DrawnPattern pattern, DrawnOutlines outlines, FoundEdges searched)
    {
        (PictureMap map, EdgeProfile profile, double noise, ImmutableArray<MeasuredEdge> edges, FineRegistration fine) = searched;
        RequireInPlace(fine, coarse.Explained);
        RequireScale(edges, map, fine);
        var tally = new EdgeErrorTally();
        foreach (MeasuredEdge edge in edges)
        {
            if (edge.IsFound)
            {
                tally.Add(new EdgeError(edge.Strip.X, edge.Strip.Y, edge.OffsetNanometres));
            }
            else
            {
                tally.AddLost(new EdgeError(edge.Strip.X, edge.Strip.Y, 0));
            }
        }

        MeasuredEdge[] found = [.. edges.Where(edge => edge.IsFound)];
        double strength = found.Select(edge => edge.Strength).Order().ElementAt(found.Length / 2);
        var doses = new DoseFactorsAt(layout);
        var fitter = new StripFitter(picture, rows, map, options.SearchNanometres);
        return new MeasuredPicture
        {
            Map = map,
            Rows = rows,
            Explained = coarse.Explained,
            StatedPixelNanometres = options.PixelNanometres,
            Freedom = options.Freedom,
            ScaleError = options.Freedom == MapFreedom.Rigid ? double.NaN : fine.ScaleError,
            ResidualNanometres = fine.ResidualNanometres,
            BlurNanometres = profile.BlurNanometres,
            Height = profile.Height,
            Crest = profile.Crest,
            Noise = noise,
            Edges = tally.ToReport(),
            EdgeNoiseNanometres = Math.Sqrt(found.Average(edge => edge.StandardErrorNanometres * edge.StandardErrorNanometres)),
            EdgePlaceErrorNanometres = profile.PlaceErrorNanometres,
            CrestError = profile.CrestError,
            WallPart = profile.WallPart,
            WallError = profile.WallError,
            WallNanometres = profile.WallNanometres,
            Widths = new WidthFinder(outlines, edges, doses, profile.PlaceErrorNanometres).Find(),
            Crosses = CrossFinder.Find(pattern.Areas, layout.GridPicometres, outlines, edges),
            Squares = new SquareFinder(picture, rows, map, profile, strength, doses).Find(pattern.Areas, layout.GridPicometres),
            Lines = new LineFinder(fitter, profile, map, noise, IsSeen).Find(layout),
            Dots = new DotFinder(picture, rows, map, fitter, profile, noise).Find(layout, outlines),
            Verniers = VernierFinder.Find(pattern.Areas, layout.GridPicometres, outlines, edges),
            Strips = edges,
        };

        bool IsSeen(double x, double y)
        {
            (double u, double v) = map.ToPicture(x, y);
            return Math.Abs(u) < picture.Width / 2.0 && Math.Abs(v) < rows / 2.0;
        }
    }

    private void RequireScale(ImmutableArray<MeasuredEdge> edges, PictureMap map, FineRegistration fine)
    {
        if (options.Freedom != MapFreedom.Rigid)
        {
            if (fine.ScaleError > LargestScaleError)
            {
                throw new CompileException(
                    MeasureCodes.NoScale,
                    FormattableString.Invariant($"nothing in this picture tells the scale better than within {100 * fine.ScaleError:0.#} %: lines that print wider look the same as a larger scale"),
                    place,
                    "state the size of a pixel with --pixel, and leave out --fit; or take a picture with a pitch in it");
            }

            return;
        }

        FineRegistration free = FineRegistration.Fit([.. edges.Where(edge => edge.IsFound)], map, MapFreedom.Similarity, picture.Width / 2.0, rows / 2.0);
        if (Math.Abs(free.Scale) > Math.Max(NotableScale, ScaleErrors * free.ScaleError))
        {
            sink.Warn(
                MeasureCodes.OtherScale,
                FormattableString.Invariant($"the drawing would fit pixels of {options.PixelNanometres * (1 + free.Scale):0.####} nm (within {100 * free.ScaleError:0.##} %), and {options.PixelNanometres:0.####} nm are stated"),
                place,
                "where the drawing is the better ruler, add --fit similarity");
        }
    }
}
