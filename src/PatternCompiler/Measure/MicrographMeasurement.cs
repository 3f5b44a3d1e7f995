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
    private const int Rounds = 3;

    // Long strips for the profile: short ones would be aligned by their noise, which makes it steeper.
    private const double FirstLengthPixels = 16;
    private const double WantedErrorPixels = 0.25;
    private const double ShortestPixels = 2;
    private const double LongestPixels = 64;
    private const double MostStrips = 20_000;
    private const double MostStripsForProfile = 8000;
    private const double ProfileReachPixels = 12;
    private const double LeastFound = 0.25;
    private const double DoubtfulExplained = 0.6;
    private const double FoundWhereDoubtful = 0.8;

    // Edges that are found by chance lie anywhere in reach: 0.58 of it, root mean square.
    private const double LargestMissWhereDoubtful = 0.2;
    private const double LeastResolved = 0.2;
    private const double LargestBlurInWidth = 0.25;
    private const double LargestScaleError = 0.005;
    private const double NotableScale = 0.01;
    private const double ScaleErrors = 4;
    private const double FewestStrips = 8;

    private readonly Micrograph picture;
    private readonly FlatLayout layout;
    private readonly MeasureOptions options;
    private readonly SourcePlace place;
    private readonly DiagnosticSink sink;
    private readonly CancellationToken cancellation;
    private readonly int rows;
    private readonly double radius;

    private MicrographMeasurement(Micrograph picture, FlatLayout layout, MeasureOptions options, SourcePlace place, DiagnosticSink sink, CancellationToken cancellation)
    {
        (this.picture, this.layout, this.options, this.place, this.sink, this.cancellation) = (picture, layout, options, place, sink, cancellation);
        rows = PictureCheck.PictureRows(picture);
        radius = Math.Max(picture.Width, rows) / 2.0;
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
        double shown = map.NanometresPerPixel * 2 * radius;
        SampleWindow around = new SampleWindow(map.CentreX, map.CentreY, map.CentreX, map.CentreY).Widened(shown);
        var outlines = new DrawnOutlines(pattern.Areas, layout.GridPicometres, around);
        double search = Math.Max(options.SearchNanometres, ProfileReachPixels / 2 * map.NanometresPerPixel);
        EdgeProfile? profile = null;
        double usual = 0, length = FirstLengthPixels * map.NanometresPerPixel;
        MeasuredEdge[] edges = [];
        FineRegistration fine = null!;
        for (int round = 0; round <= Rounds; round++)
        {
            List<EdgeStrip> strips = Place(outlines, map, profile, round < Rounds ? MostStripsForProfile : MostStrips, shown, ref length);
            var fitter = new StripFitter(picture, rows, map, search);
            if (round < Rounds)
            {
                profile = ProfileOf(fitter, strips, edges, profile, map, ref usual);
                strips = Resolved(strips, profile);
            }

            edges = Fit(fitter, strips, profile!, usual, noise);
            MeasuredEdge[] found = [.. edges.Where(edge => edge.IsFound)];
            RequireFound(edges, found, coarse.Explained);
            noise = round == 0 ? noise : Math.Sqrt(found.Average(edge => edge.SquaresPerPixel));
            fine = FineRegistration.Fit(found, map, options.Freedom, radius);
            usual = fine.DistanceNanometres;
            if (round < Rounds)
            {
                map = fine.Map;
            }

            if (round == Rounds - 1)
            {
                length = LengthFor(profile!, noise, map.NanometresPerPixel);
            }
        }

        return Conclude(coarse, pattern, outlines, map, profile!, noise, edges, fine);
    }

    private MeasuredEdge[] Fit(StripFitter fitter, List<EdgeStrip> strips, EdgeProfile profile, double usual, double noise)
    {
        var edges = new MeasuredEdge[strips.Count];
        Parallel.For(0, strips.Count, new ParallelOptions { CancellationToken = cancellation }, () => new StripBins(), (i, _, bins) =>
        {
            edges[i] = fitter.Fit(strips[i], profile, usual, noise, bins);
            return bins;
        }, _ => { });
        return edges;
    }

    // First with all edges where they are drawn, then, aligned, with each where it was found.
    private EdgeProfile ProfileOf(StripFitter fitter, List<EdgeStrip> strips, MeasuredEdge[] before, EdgeProfile? known, PictureMap map, ref double usual)
    {
        double pixel = map.NanometresPerPixel;
        double reach = Math.Max(ProfileReachPixels * pixel, known is null ? Math.Min(options.SearchNanometres, 4 * ProfileReachPixels * pixel) : 6 * known.WidthNanometres);
        var stack = new ProfileFitter(pixel, reach);
        var bins = new StripBins();
        if (known is null)
        {
            foreach (EdgeStrip strip in strips)
            {
                int count = fitter.Gather(strip, bins);
                for (int k = 0; k < count; k++)
                {
                    stack.Add(bins.At(k), bins.Grey(k), bins.Count(k));
                }
            }
        }
        else
        {
            foreach (MeasuredEdge edge in before.Where(edge => edge.IsFound && edge.Strength > 0.5))
            {
                int count = fitter.Gather(edge.Strip, bins);
                for (int k = 0; k < count; k++)
                {
                    stack.Add(bins.At(k) - edge.OffsetNanometres, (bins.Grey(k) - edge.Base) / edge.Strength, bins.Count(k));
                }
            }
        }

        if (stack.Fit() is not var (profile, found))
        {
            throw new CompileException(MeasureCodes.Blurred, "no edge can be made out in this picture", place, "focus, or average longer");
        }

        usual = known is null ? found : usual;
        return profile;
    }

    private List<EdgeStrip> Place(DrawnOutlines outlines, PictureMap map, EdgeProfile? profile, double most, double shown, ref double length)
    {
        var placer = new StripPlacer(outlines, map, picture.Width / 2.0, rows / 2.0);
        double blur = profile?.BlurNanometres ?? map.NanometresPerPixel;
        List<EdgeStrip> strips = placer.Place(length, blur, shown);
        if (strips.Count > most)
        {
            length *= strips.Count / most;
            strips = placer.Place(length, blur, shown);
        }

        if (strips.Count < FewestStrips)
        {
            throw new CompileException(MeasureCodes.NotInPicture, "too little of the drawing's edges lies in this picture to be measured", place, "take it closer, or name the right drawing");
        }

        return profile is null ? strips : Resolved(strips, profile);
    }

    // Lines and gaps that blur into each other, such as those of labels, are left out.
    private List<EdgeStrip> Resolved(List<EdgeStrip> strips, EdgeProfile profile)
    {
        double Narrowest(EdgeStrip strip) => Math.Min(strip.Inside?.Distance ?? double.PositiveInfinity, strip.Outside?.Distance ?? double.PositiveInfinity);
        List<EdgeStrip> resolved = [.. strips.Where(strip => profile.BlurNanometres <= LargestBlurInWidth * Narrowest(strip))];
        if (resolved.Count < Math.Max(FewestStrips, LeastResolved * strips.Count))
        {
            double usual = strips.Select(Narrowest).Order().ElementAt(strips.Count / 2);
            throw new CompileException(
                MeasureCodes.Blurred,
                FormattableString.Invariant($"edges in this picture are blurred by {profile.BlurNanometres:0.#} nm (one standard deviation), and half of its lines or gaps are no wider than {usual:0.#} nm as drawn"),
                place,
                "focus and correct astigmatism, or take the picture closer");
        }

        return resolved;
    }

    private void RequireFound(MeasuredEdge[] edges, MeasuredEdge[] found, double explained)
    {
        if (found.Length < Math.Max(FewestStrips, LeastFound * edges.Length))
        {
            throw new CompileException(
                MeasureCodes.Unrelated,
                FormattableString.Invariant($"an edge was found at {found.Length} of {edges.Length} places where one is drawn in this picture, and {100 * LeastFound:0} % are needed: it shows something else, or nothing printed"),
                place,
                "name the drawing that was written there");
        }

        // Chance brings large shapes to lie on each other, but not their edges too.
        if (explained < DoubtfulExplained && found.Length < FoundWhereDoubtful * edges.Length)
        {
            throw new CompileException(
                MeasureCodes.Unrelated,
                FormattableString.Invariant($"the drawing explains only {100 * explained:0} % of this picture, and an edge was found at {found.Length} of {edges.Length} places where one is drawn: it shows something else"),
                place,
                "name the drawing that was written there");
        }
    }

    private void RequireInPlace(FineRegistration fine, double explained)
    {
        if (explained < DoubtfulExplained && fine.ResidualNanometres > LargestMissWhereDoubtful * options.SearchNanometres)
        {
            throw new CompileException(
                MeasureCodes.Unrelated,
                FormattableString.Invariant($"the drawing explains only {100 * explained:0} % of this picture, and its edges lie {fine.ResidualNanometres:0} nm (root mean square) from where they are drawn: it shows something else"),
                place,
                "name the drawing that was written there; if edges are off so far, look for them with a larger --search");
        }
    }

    private static double LengthFor(EdgeProfile profile, double noise, double pixel)
    {
        // A strip of length L holds information (L/pixel) · ∫slope² / pixel; its standard error is to be a quarter of a pixel.
        double wanted = WantedErrorPixels * pixel;
        double length = noise * noise * pixel * pixel / (profile.SquaredSlope * wanted * wanted);
        return Math.Clamp(length, ShortestPixels * pixel, LongestPixels * pixel);
    }

    private MeasuredPicture Conclude(
        MapCandidate coarse, DrawnPattern pattern, DrawnOutlines outlines, PictureMap map, EdgeProfile profile, double noise, MeasuredEdge[] edges, FineRegistration fine)
    {
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
            Widths = new WidthFinder(outlines, edges, doses, profile.PlaceErrorNanometres).Find(),
            Crosses = CrossFinder.Find(pattern.Areas, layout.GridPicometres, outlines, edges),
            Squares = new SquareFinder(picture, rows, map, profile, strength, doses).Find(pattern.Areas, layout.GridPicometres),
            Lines = new LineFinder(fitter, profile, map, noise, IsSeen).Find(layout),
            Dots = new DotFinder(picture, rows, map, fitter, profile, noise).Find(layout, outlines),
            Verniers = VernierFinder.Find(pattern.Areas, layout.GridPicometres, outlines, edges),
            Strips = [.. edges],
        };

        bool IsSeen(double x, double y)
        {
            (double u, double v) = map.ToPicture(x, y);
            return Math.Abs(u) < picture.Width / 2.0 && Math.Abs(v) < rows / 2.0;
        }
    }

    private void RequireScale(MeasuredEdge[] edges, PictureMap map, FineRegistration fine)
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

        FineRegistration free = FineRegistration.Fit([.. edges.Where(edge => edge.IsFound)], map, MapFreedom.Similarity, radius);
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
