using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;

namespace PatternCompiler.Measure;

/// <summary>All drawn edges in a picture.</summary>
/// <param name="Map">The map under which they were found.</param>
/// <param name="Profile">The profile of an edge.</param>
/// <param name="Noise">Standard deviation of a pixel's noise.</param>
/// <param name="Edges">What was found in each strip.</param>
/// <param name="Fine">What is left between the drawing and them.</param>
internal sealed record FoundEdges(PictureMap Map, EdgeProfile Profile, double Noise, ImmutableArray<MeasuredEdge> Edges, FineRegistration Fine);

/// <summary>
/// Finds the drawn edges in a picture whose place is about known. First the map is moved until edges lie on drawn ones, with a steep step
/// for a profile. Then the profile is fitted to what is aligned by the edges, and the edges are found by the profile, round after round,
/// until they stay.
/// </summary>
internal sealed class EdgeFinder
{
    /// <summary>A picture of which the drawing explains less than this part of its variance is marginal: its edges have to be found well.</summary>
    internal const double MarginalExplained = 0.6;

    private const int MostPlacings = 12;
    private const double PlacedPixels = 0.5;
    private const int FewestRounds = 2;
    private const int MostRounds = 10;
    private const double SettledPixels = 0.03;
    private const double FirstLengthPixels = 16;
    private const double SteepPixels = 1;
    private const double NarrowPixels = 6;
    private const double SafeGain = 2 * StripFitter.LeastGain;
    private const double WantedErrorPixels = 0.25;
    private const double ShortestPixels = 2;
    private const double LongestPixels = 64;
    private const double MostStrips = 20_000;
    private const double MostStripsForProfile = 8000;
    private const double ProfileReachPixels = 12;
    private const double LeastStrength = 0.5;
    private const double FewestStrips = 8;
    private const double LeastFound = 0.25;
    private const double FoundWhereMarginal = 0.8;
    private const double LeastResolved = 0.2;
    private const double LargestBlurInWidth = 0.25;

    private readonly Micrograph picture;
    private readonly int rows;
    private readonly DrawnOutlines outlines;
    private readonly MeasureOptions options;
    private readonly SourcePlace place;
    private readonly MapCandidate coarse;
    private readonly CancellationToken cancellation;
    private readonly double search;
    private readonly double shown;
    private PictureMap map;
    private PictureMap foundUnder;
    private FineRegistration fine = null!;
    private MeasuredEdge[] edges = [];
    private double noise;
    private double usual;
    private double length;

    /// <summary>Prepares the search.</summary>
    /// <param name="picture">The micrograph.</param>
    /// <param name="rows">Rows of it that are picture.</param>
    /// <param name="outlines">What is drawn.</param>
    /// <param name="options">How it is measured.</param>
    /// <param name="place">The picture's file, for messages.</param>
    /// <param name="coarse">About where it lies.</param>
    /// <param name="noise">Standard deviation of a pixel's noise, about.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public EdgeFinder(
        Micrograph picture, int rows, DrawnOutlines outlines, MeasureOptions options, SourcePlace place, MapCandidate coarse, double noise, CancellationToken cancellation)
    {
        (this.picture, this.rows, this.outlines, this.options, this.place) = (picture, rows, outlines, options, place);
        (this.coarse, this.noise, this.cancellation) = (coarse, noise, cancellation);
        map = coarse.Map;
        shown = map.NanometresPerPixel * Math.Max(picture.Width, rows);
        search = Math.Max(options.SearchNanometres, ProfileReachPixels / 2 * map.NanometresPerPixel);
        length = FirstLengthPixels * map.NanometresPerPixel;
    }

    /// <summary>Finds them.</summary>
    /// <exception cref="CompileException">The picture shows too few of them.</exception>
    public FoundEdges Find()
    {
        EdgeProfile profile = FirstProfile(Place(null, MostStripsForProfile));

        // Edges that are printed elsewhere make it look wide; a steep step finds them, and wide ones, unless these are all but noise.
        double steep = SteepPixels * map.NanometresPerPixel;
        if (profile.BlurNanometres > steep && new EdgeProfile(profile.Height, 0, steep, steep).Measured() is var other && SeesEnough(other))
        {
            profile = other;
        }

        // Short strips, as the map may still be turned; with a scale of its own, for a pixel that is stated wrong must not turn it.
        MapFreedom placing = options.Freedom == MapFreedom.Rigid ? MapFreedom.Similarity : options.Freedom;
        for (int round = 0; round < MostPlacings; round++)
        {
            edges = Look(profile, MostStripsForProfile, StripFitter.WeakGain, placing);
            double moved = map.DistanceTo(fine.Map, picture.Width / 2.0, rows / 2.0);
            map = fine.Map;
            if (moved < PlacedPixels * map.NanometresPerPixel)
            {
                break;
            }
        }

        map = options.Freedom == MapFreedom.Rigid ? map.Rescaled(options.PixelNanometres) : map;
        for (int round = 1; ; round++)
        {
            profile = AlignedProfile(profile);

            // Long strips: short ones would be aligned by their noise, which makes the profile steeper.
            length = Math.Max(FirstLengthPixels * map.NanometresPerPixel, LengthToTell(profile));
            double before = usual;
            edges = Look(profile, MostStripsForProfile, StripFitter.LeastGain, options.Freedom);
            (map, noise) = (fine.Map, NoiseOf(edges));
            if (round >= MostRounds || round >= FewestRounds && Math.Abs(usual - before) < SettledPixels * map.NanometresPerPixel)
            {
                break;
            }
        }

        length = LengthFor(profile);
        edges = Look(profile, MostStrips, StripFitter.LeastGain, options.Freedom);
        return new FoundEdges(map, profile, NoiseOf(edges), [.. edges], fine);
    }

    // Looks for all edges, and for where the map would lie better by them.
    private MeasuredEdge[] Look(EdgeProfile profile, double most, double leastGain, MapFreedom freedom)
    {
        MeasuredEdge[] all = Fit(Place(profile, most), profile, leastGain);
        MeasuredEdge[] found = [.. all.Where(edge => edge.IsFound)];
        RequireFound(all, found);
        foundUnder = map;
        fine = FineRegistration.Fit(found, map, freedom, picture.Width / 2.0, rows / 2.0);
        usual = fine.DistanceNanometres;
        return all;
    }

    private bool SeesEnough(EdgeProfile profile)
    {
        MeasuredEdge[] all = Fit(Place(profile, MostStripsForProfile), profile, StripFitter.WeakGain);
        return all.Count(edge => edge.IsFound) >= LeastFound * all.Length;
    }

    private MeasuredEdge[] Fit(List<EdgeStrip> strips, EdgeProfile profile, double leastGain)
    {
        StripFitter fitter = Fitter(map);
        var all = new MeasuredEdge[strips.Count];
        Parallel.For(0, strips.Count, new ParallelOptions { CancellationToken = cancellation }, () => new StripBins(), (i, _, bins) =>
        {
            all[i] = fitter.Fit(strips[i], profile, usual, noise, bins, leastGain);
            return bins;
        }, _ => { });
        return all;
    }

    private StripFitter Fitter(PictureMap under) => new(picture, rows, under, search);

    // Strips that lie wrong have more.
    private static double NoiseOf(MeasuredEdge[] edges)
    {
        double[] variances = [.. edges.Where(edge => edge.IsFound).Select(edge => edge.SquaresPerPixel).Order()];
        return Math.Sqrt(variances[variances.Length / 2]);
    }

    // With all edges where they are drawn.
    private EdgeProfile FirstProfile(List<EdgeStrip> strips)
    {
        var stack = new ProfileFitter(map.NanometresPerPixel, ProfileReach(), noise, options.FilmIsInside ? -1 : 1);
        StripFitter fitter = Fitter(map);
        var bins = new StripBins();
        foreach (EdgeStrip strip in strips)
        {
            int count = fitter.Gather(strip, bins);
            for (int k = 0; k < count; k++)
            {
                stack.Add(bins.At(k), bins.Grey(k), bins.Count(k));
            }
        }

        (EdgeProfile profile, usual) = Fitted(stack);
        return profile;
    }

    // With each edge where it was found.
    private EdgeProfile AlignedProfile(EdgeProfile known)
    {
        var stack = new ProfileFitter(map.NanometresPerPixel, Math.Max(ProfileReach(), 6 * known.WidthNanometres), noise, options.FilmIsInside ? -1 : 1);
        StripFitter fitter = Fitter(foundUnder);
        var bins = new StripBins();
        MeasuredEdge[] strong = [.. edges.Where(edge => edge.IsFound && edge.Strength > LeastStrength)];
        if (strong.Length == 0)
        {
            throw NoEdge();
        }

        double strength = strong.Select(edge => edge.Strength).Order().ElementAt(strong.Length / 2);
        foreach (MeasuredEdge edge in strong)
        {
            int count = fitter.Gather(edge.Strip, bins);
            for (int k = 0; k < count; k++)
            {
                stack.Add(bins.At(k) - edge.OffsetNanometres, (bins.Grey(k) - edge.Base) * strength / edge.Strength, bins.Count(k));
            }
        }

        return Fitted(stack).Profile;
    }

    private (EdgeProfile Profile, double Shift) Fitted(ProfileFitter stack) =>
        stack.Fit() ?? throw NoEdge();

    private CompileException NoEdge() => new(MeasureCodes.Blurred, "no edge can be made out in this picture", place, "focus, or average longer");

    // As far as the film thins beside an edge.
    private double ProfileReach() =>
        map.NanometresPerPixel * Math.Max(ProfileReachPixels, Math.Min(options.SearchNanometres / map.NanometresPerPixel, 4 * ProfileReachPixels));

    private List<EdgeStrip> Place(EdgeProfile? profile, double most)
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
            double narrowest = strips.Select(Narrowest).Order().ElementAt(strips.Count / 2);
            throw new CompileException(
                MeasureCodes.Blurred,
                FormattableString.Invariant($"edges in this picture are blurred by {profile.BlurNanometres:0.#} nm (one standard deviation), and half of its lines or gaps are no wider than {narrowest:0.#} nm as drawn"),
                place,
                "focus and correct astigmatism, or take the picture closer");
        }

        return resolved;
    }

    private void RequireFound(MeasuredEdge[] edges, MeasuredEdge[] found)
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
        if (coarse.Explained < MarginalExplained && found.Length < FoundWhereMarginal * edges.Length)
        {
            throw new CompileException(
                MeasureCodes.Unrelated,
                FormattableString.Invariant($"the drawing explains only {100 * coarse.Explained:0} % of this picture, and an edge was found at {found.Length} of {edges.Length} places where one is drawn: it shows something else"),
                place,
                "name the drawing that was written there");
        }
    }

    private double LengthFor(EdgeProfile profile)
    {
        // A strip of length L holds information (L/pixel) · ∫slope² / pixel; its standard error is to be a quarter of a pixel.
        double pixel = map.NanometresPerPixel;
        double wanted = WantedErrorPixels * pixel;
        double length = noise * noise * pixel * pixel / (profile.SquaredSlope * wanted * wanted);
        return Math.Clamp(Math.Max(length, LengthToTell(profile)), ShortestPixels * pixel, LongestPixels * pixel);
    }

    // Long enough to tell an edge from none where another follows a few pixels further.
    private double LengthToTell(EdgeProfile profile)
    {
        double pixel = map.NanometresPerPixel;
        return Math.Min(LongestPixels * pixel, SafeGain * noise * noise * pixel * pixel / profile.SquaresWithin(NarrowPixels / 2 * pixel));
    }
}
