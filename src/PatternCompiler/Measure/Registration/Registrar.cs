using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Measure.Registration;

/// <summary>
/// Finds the place of a micrograph in a drawing: every offset, rotation and scale on a small picture, then the best of them on
/// larger ones. A picture that the drawing does not explain, or explains in two places, is refused.
/// </summary>
internal sealed class Registrar
{
    private const int SmallCells = 64;
    private const int FewestCells = 36;
    private const int MiddleCells = 128;
    private const int LargeCells = 256;
    private const int SmallestWorldCells = 128;
    private const int LargestWorldCells = 512;
    private const double Room = 1.3;
    private const double LargestDrawing = 12;
    private const int FirstCandidates = 24;
    private const int SecondCandidates = 8;
    private const int LastCandidates = 4;
    private const int OffsetPeaks = 8;
    private const int Steps = 8;
    private const int RidgeSteps = 8;
    private const double SmallestExplained = 0.3;
    private const double Rival = 0.8;
    private const double Promising = 0.5;
    private const double LargestTurnDegrees = 11;
    private const double LargestScale = 1.25;

    // Of a pixel that is stated.
    private const double LargestMisstated = 1.04;

    private readonly Micrograph picture;
    private readonly int rows;
    private readonly DrawnPattern pattern;
    private readonly DoseBands bands;
    private readonly long gridPicometres;
    private readonly double pixel;
    private readonly SampleWindow centres;
    private readonly SourcePlace place;
    private readonly CancellationToken cancellation;

    private Registrar(
        Micrograph picture, int rows, DrawnPattern pattern, DoseBands bands, long gridPicometres, double pixel, SampleWindow centres, SourcePlace place, CancellationToken cancellation)
    {
        (this.picture, this.rows, this.pattern, this.bands, this.gridPicometres, this.pixel, this.centres, this.place, this.cancellation) =
            (picture, rows, pattern, bands, gridPicometres, pixel, centres, place, cancellation);
    }

    /// <summary>Finds the map.</summary>
    /// <param name="picture">The micrograph.</param>
    /// <param name="rows">Rows of it that are picture.</param>
    /// <param name="pattern">What is drawn.</param>
    /// <param name="bands">The same by dose, for not every dose may print.</param>
    /// <param name="gridPicometres">Its grid.</param>
    /// <param name="pixel">Size of a pixel as stated, in nanometres.</param>
    /// <param name="findsScale">The size is only known within a fifth.</param>
    /// <param name="window">The part of the drawing where the middle of the picture lies, or null.</param>
    /// <param name="place">The picture's file, for messages.</param>
    /// <param name="cancellation">Ends the work early.</param>
    /// <exception cref="CompileException">The picture does not show this drawing, or it does not tell where.</exception>
    public static MapCandidate Run(
        Micrograph picture,
        int rows,
        DrawnPattern pattern,
        DoseBands bands,
        long gridPicometres,
        double pixel,
        bool findsScale,
        SampleWindow? window,
        SourcePlace place,
        CancellationToken cancellation)
    {
        SampleWindow centres = window ?? Bounds(pattern.Shapes, gridPicometres);
        double shown = pixel * Math.Max(picture.Width, rows);
        double drawn = Math.Max(centres.Right - centres.Left, centres.Top - centres.Bottom);
        if (drawn > LargestDrawing * shown)
        {
            throw new CompileException(
                MeasureCodes.NotFound,
                FormattableString.Invariant($"the drawing is {drawn / shown:0} times as wide as this picture, which shows {shown / 1000:0.##} um of it: too much to search"),
                place,
                "say with --window about where in the drawing the picture was taken");
        }

        var registrar = new Registrar(picture, rows, pattern, bands, gridPicometres, pixel, centres, place, cancellation);
        List<MapCandidate> found = registrar.ByDose(registrar.Search(findsScale));
        registrar.Judge(found, findsScale);
        return found[0];
    }

    private static SampleWindow Bounds(ContourSet shapes, long gridPicometres)
    {
        GridBox box = GridBox.Around(shapes.Points);
        double scale = gridPicometres * 1e-3;
        return new SampleWindow(box.XLeft * scale, box.YBottom * scale, box.XRight * scale, box.YTop * scale);
    }

    private (DrawnRaster Raster, ReducedPicture Picture) Level(int cells)
    {
        var reduced = ReducedPicture.Of(picture, rows, cells);
        return (Paint(pattern, reduced), reduced);
    }

    private DrawnRaster Paint(DrawnPattern drawn, ReducedPicture reduced)
    {
        double margin = Room * pixel * Math.Max(picture.Width, rows) / 2;
        return DrawnRaster.Paint(drawn, gridPicometres, centres.Widened(margin), pixel * reduced.Factor);
    }

    private List<MapCandidate> Search(bool findsScale)
    {
        double shown = pixel * Math.Max(picture.Width, rows);
        double world = Math.Max(centres.Right - centres.Left, centres.Top - centres.Bottom) / shown + Room;

        // As many cells as the smallest of the transforms takes in which there are enough.
        int transform = SmallestWorldCells;
        while (transform < LargestWorldCells && transform / world < FewestCells)
        {
            transform *= 2;
        }

        (DrawnRaster raster, ReducedPicture reduced) = Level((int)Math.Clamp((transform - 1) / world, FewestCells, SmallCells));
        List<MapCandidate> candidates = Refined(
            raster, reduced, CoarseSearch.Run(raster, reduced, pixel, centres, findsScale, FirstCandidates, cancellation), findsScale, SecondCandidates);
        (DrawnRaster middle, ReducedPicture middlePicture) = Level(MiddleCells);
        candidates = Refined(middle, middlePicture, candidates, findsScale, LastCandidates);
        if (candidates.Count == 0)
        {
            return candidates;
        }

        // What the small picture could not show, such as fine lines, may put it elsewhere.
        PictureMap upright = candidates[0].Map with { CentreX = 0, CentreY = 0 };
        candidates.AddRange(CoarseSearch.Peaks(middle, middlePicture, [upright], centres, OffsetPeaks, cancellation));

        // What explains much less will not become a rival.
        double promising = Promising * candidates.Max(candidate => candidate.Explained);
        candidates.RemoveAll(candidate => candidate.Explained < promising);
        (DrawnRaster large, ReducedPicture largePicture) = Level(LargeCells);
        List<MapCandidate> refined = Refined(large, largePicture, candidates, findsScale, LastCandidates + OffsetPeaks);
        return findsScale ? refined : [.. refined.Select(candidate => ByFreeScale(large, largePicture, candidate))];
    }

    // With a pixel that is stated a percent off, a wide picture fits better turned, which smears the drawing. Turned as it is with the
    // scale that fits, it may explain less.
    private MapCandidate ByFreeScale(DrawnRaster raster, ReducedPicture reduced, MapCandidate candidate)
    {
        MapCandidate free = MapRefiner.Run(raster, reduced, candidate.Map, movesScale: true, Steps);
        return free.Map.NanometresPerPixel / pixel is > 1 / LargestMisstated and < LargestMisstated && free.Explained > candidate.Explained
            ? free with { Map = free.Map.Rescaled(pixel) }
            : candidate;
    }

    private List<MapCandidate> Refined(DrawnRaster raster, ReducedPicture reduced, List<MapCandidate> candidates, bool findsScale, int most)
    {
        var refined = new MapCandidate[candidates.Count];
        Parallel.For(0, refined.Length, new ParallelOptions { CancellationToken = cancellation }, i =>
            refined[i] = MapRefiner.Run(raster, reduced, candidates[i].Map, findsScale, Steps));
        var kept = new List<MapCandidate>();
        foreach (MapCandidate candidate in refined.OrderByDescending(candidate => candidate.Explained))
        {
            if (kept.Count < most && kept.TrueForAll(other => other.Map.DistanceTo(candidate.Map, picture.Width / 2.0, rows / 2.0) > raster.CellNanometres))
            {
                kept.Add(candidate);
            }
        }

        return kept;
    }

    // Judged by what each dose explains with a strength of its own.
    private List<MapCandidate> ByDose(List<MapCandidate> candidates)
    {
        if (bands.Count < 2 || candidates.Count == 0)
        {
            return candidates;
        }

        var reduced = ReducedPicture.Of(picture, rows, MiddleCells);
        DrawnRaster[] rasters = [.. Enumerable.Range(0, bands.Count).Select(band => Paint(bands.Pattern(band), reduced))];
        return [.. candidates.Select(candidate => candidate with { Explained = BandFit.Explained(rasters, reduced, candidate.Map) }).OrderByDescending(candidate => candidate.Explained)];
    }

    private void Judge(List<MapCandidate> found, bool findsScale)
    {
        if (found.Count == 0 || found[0].Explained < SmallestExplained)
        {
            double explained = found.Count == 0 ? 0 : found[0].Explained;
            throw new CompileException(
                MeasureCodes.Unrelated,
                FormattableString.Invariant($"the drawing explains {100 * explained:0} % of this picture at best, and {100 * SmallestExplained:0} % are needed: it shows something else{OtherScale(findsScale)}"),
                place,
                findsScale ? "name the drawing that was written there; look at the size of a pixel" : "name the drawing that was written there; look at --pixel");
        }

        PictureMap best = found[0].Map;
        double scale = best.NanometresPerPixel / pixel;
        if (Math.Abs(best.RotationDegrees) > LargestTurnDegrees || scale > LargestScale || scale < 1 / LargestScale)
        {
            throw new CompileException(
                MeasureCodes.NotFound,
                FormattableString.Invariant($"this picture fits the drawing turned by {best.RotationDegrees:0.#} deg and with pixels of {best.NanometresPerPixel:0.###} nm; up to 10 deg and a fifth from the stated {pixel:0.###} nm are looked for"),
                place,
                "turn the picture upright, or state the size of a pixel");
        }

        (DrawnRaster raster, ReducedPicture reduced) = Level(MiddleCells);
        foreach (MapCandidate rival in found.Skip(1).Where(rival => rival.Explained >= Rival * found[0].Explained))
        {
            if (!IsOneRidge(raster, reduced, best, rival.Map))
            {
                throw new CompileException(
                    MeasureCodes.Ambiguous,
                    FormattableString.Invariant($"this picture fits the drawing around ({best.CentreX / 1000:0.###}, {best.CentreY / 1000:0.###}) um and nearly as well around ({rival.Map.CentreX / 1000:0.###}, {rival.Map.CentreY / 1000:0.###}) um ({100 * found[0].Explained:0} and {100 * rival.Explained:0} % explained): the pattern repeats"),
                    place,
                    "take a picture with something in it that the pattern has only once, such as its border, or say with --window where it was taken");
            }
        }
    }

    // A line looks the same from one place along it to the next: all maps between the two explain as much.
    private static bool IsOneRidge(DrawnRaster raster, ReducedPicture reduced, PictureMap a, PictureMap b)
    {
        double least = Rival * MapRefiner.Explained(raster, reduced, a);
        return Enumerable.Range(1, RidgeSteps - 1).All(step => MapRefiner.Explained(raster, reduced, PictureMap.Between(a, b, step / (double)RidgeSteps)) >= least);
    }

    private string OtherScale(bool findsScale)
    {
        if (findsScale)
        {
            return "";
        }

        List<MapCandidate> free = Search(findsScale: true);
        return free.Count > 0 && free[0].Explained >= SmallestExplained && free[0].Map.NanometresPerPixel / pixel is > 1 / LargestScale and < LargestScale
            ? FormattableString.Invariant($"; with pixels of {free[0].Map.NanometresPerPixel:0.###} nm in place of the stated {pixel:0.###} nm it would be {100 * free[0].Explained:0} %")
            : "";
    }
}
