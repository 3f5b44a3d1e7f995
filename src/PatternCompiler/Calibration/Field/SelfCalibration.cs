using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Field;

/// <summary>
/// The field's distortion from views of one sample with marks of unknown places, between which the sample was turned and moved: whatever
/// turns and moves with the sample belongs to the marks, whatever does not to the field (M. R. Raugh, "Absolute two-dimensional
/// sub-micron metrology for electron beam lithography", Precision Engineering 7 (1985) 3-13).
/// </summary>
/// <remarks>
/// A mark at p of the sample is seen at c where the beam lands on it: c + d(c) = R(θ) p + t, with a turn θ and a shift t for each view.
/// In the frame of the sample, R(-θ) (c + d(c)) - s is the same place in all views. The marks' places are eliminated as the means over
/// the views; d is linear, and the turns are found by Gauss-Newton steps. Offset and turn of the field itself cannot be told from those
/// of the sample, nor its scale: of d's linear part only the difference between the axes' scales and their angle are fitted.
/// </remarks>
internal sealed class SelfCalibration
{
    private const int MostSteps = 50;
    private const double SettledNanometres = 1e-6;

    // Both common practice, no source.
    private const double LeastTurn = 0.17;
    private const double LeastShiftPart = 0.03;
    private const double NotableError = 2;
    private const double LargestError = 10;

    private readonly FieldViews views;
    private readonly int order;
    private readonly double halfField;
    private readonly ImmutableArray<Column> columns;
    private readonly double[] distortion;
    private readonly (double Turn, double X, double Y)[] poses;
    private LinearFit fit;

    private SelfCalibration(FieldViews views, int order, double halfFieldNanometres)
    {
        (this.views, this.order, halfField) = (views, order, halfFieldNanometres);
        columns =
        [
            new Column(FieldFitter.AlongX, 1, FieldFitter.AlongY, -1),
            new Column(FieldFitter.AlongY, 1, FieldFitter.AlongX, 1),
            .. Enumerable.Range(3, FieldPolynomial.TermCount(order) - 3).SelectMany(term => (Column[])[new Column(term, 1, term, 0), new Column(term, 0, term, 1)]),
        ];
        distortion = new double[columns.Length];
        poses = [.. views.Names.Select((_, view) => StartOf([.. views.Marks.Where(mark => mark.View == view)]))];
        fit = Converged();
    }

    /// <summary>Terms of d that one number multiplies.</summary>
    private readonly record struct Column(int XTerm, double X, int YTerm, double Y);

    /// <summary>Fits a distortion of the given order, 1 to 3.</summary>
    /// <param name="views">What is seen.</param>
    /// <param name="order">Order of the polynomial.</param>
    /// <param name="halfFieldNanometres">Half of the field's width.</param>
    /// <param name="known">A length on the sample that is known, or null.</param>
    /// <exception cref="CompileException">The views do not tell it.</exception>
    public static FieldFit Fit(FieldViews views, int order, double halfFieldNanometres, KnownLength? known) =>
        new SelfCalibration(views, order, halfFieldNanometres).Result(known);

    /// <summary>Every order that the views tell.</summary>
    public static (IReadOnlyList<FieldFit> Fits, FieldFit Recommended) FitAll(FieldViews views, double halfFieldNanometres, KnownLength? known, DiagnosticSink sink)
    {
        (IReadOnlyList<FieldFit> fits, FieldFit recommended) = FieldFitter.FitAll(
            order => Fit(views, order, halfFieldNanometres, known),
            (order, why) => sink.Warn(CalibrationCodes.HiddenOrder, $"the views do not tell a distortion of order {order}, which stays as it is: {why.Message}", fix: why.Fix),
            sink);
        if (known is null)
        {
            sink.Note(
                CalibrationCodes.ScaleNotSeen,
                "the views do not tell the scale of the field, which stays that of the machine file",
                fix: "state a distance between two marks that you know, with --known");
        }

        return (fits, recommended);
    }

    /// <summary>Warns of a fit that is less certain than the places that it was made from.</summary>
    public static void WarnOfError(FieldFit fit, DiagnosticSink sink)
    {
        FieldPoses poses = fit.Poses!;
        if (poses.ErrorNanometres > NotableError * poses.NoiseNanometres)
        {
            sink.Warn(
                CalibrationCodes.HiddenOrder,
                FormattableString.Invariant($"the distortion is known within {poses.ErrorNanometres:0.#} nm, and a single place within {poses.NoiseNanometres:0.#} nm: these views hardly tell it"),
                fix: "add views: with the sample turned by about 90 degrees, and moved by a fifth of the field or more along x and along y");
        }
    }

    /// <summary>The turn and the shift that lay the drawn places best on the seen ones.</summary>
    private static (double Turn, double X, double Y) StartOf(SeenMark[] marks)
    {
        if (marks.Length == 0)
        {
            return default;
        }

        (double px, double py) = (marks.Average(mark => mark.DrawnX), marks.Average(mark => mark.DrawnY));
        (double cx, double cy) = (marks.Average(mark => mark.SeenX), marks.Average(mark => mark.SeenY));
        double along = marks.Sum(mark => (mark.DrawnX - px) * (mark.SeenX - cx) + (mark.DrawnY - py) * (mark.SeenY - cy));
        double across = marks.Sum(mark => (mark.DrawnX - px) * (mark.SeenY - cy) - (mark.DrawnY - py) * (mark.SeenX - cx));
        double turn = Math.Atan2(across, along);
        (double sine, double cosine) = Math.SinCos(turn);
        return (turn, cosine * cx + sine * cy - px, cosine * cy - sine * cx - py);
    }

    private LinearFit Converged()
    {
        for (int step = 0; step < MostSteps; step++)
        {
            LinearFit solved = Step();
            double largest = 0;
            for (int i = 0; i < distortion.Length; i++)
            {
                distortion[i] += solved.Coefficients[i];
                largest = Math.Max(largest, Math.Abs(solved.Coefficients[i]));
            }

            for (int view = 1; view < poses.Length; view++)
            {
                ReadOnlySpan<double> change = solved.Coefficients.AsSpan(FirstColumn(view), 3);
                poses[view] = (poses[view].Turn + change[0] / halfField, poses[view].X + change[1], poses[view].Y + change[2]);
                largest = Math.Max(largest, Math.Max(Math.Abs(change[0]), Math.Max(Math.Abs(change[1]), Math.Abs(change[2]))));
            }

            if (largest < SettledNanometres)
            {
                return solved;
            }
        }

        throw new CompileException(
            CalibrationCodes.NotConverged, "no distortion explains how the marks lie in all views", fix: "look for marks that are called by another's drawn place, or a view that is mirrored");
    }

    private int FirstColumn(int view) => columns.Length + 3 * (view - 1);

    private LinearFit Step()
    {
        var design = new double[2 * views.Marks.Length, columns.Length + 3 * (poses.Length - 1)];
        var left = new double[2 * views.Marks.Length];
        var groups = new int[left.Length];
        (int U, int V)[] exponents = [.. FieldPolynomial.Exponents(order)];
        FieldPolynomial land = Polynomial(1);
        for (int i = 0; i < views.Marks.Length; i++)
        {
            SeenMark mark = views.Marks[i];
            (double turn, double shiftX, double shiftY) = poses[mark.View];
            (double sine, double cosine) = Math.SinCos(turn);
            (double u, double v) = (mark.SeenX / halfField, mark.SeenY / halfField);
            (double x, double y) = land.Land(mark.SeenX, mark.SeenY);
            (double onX, double onY) = (cosine * x + sine * y, cosine * y - sine * x);
            for (int column = 0; column < columns.Length; column++)
            {
                Column terms = columns[column];
                double byX = terms.X * Monomial(terms.XTerm), byY = terms.Y * Monomial(terms.YTerm);
                (design[2 * i, column], design[2 * i + 1, column]) = (cosine * byX + sine * byY, cosine * byY - sine * byX);
            }

            if (mark.View > 0)
            {
                int first = FirstColumn(mark.View);
                (design[2 * i, first], design[2 * i + 1, first]) = (onY / halfField, -onX / halfField);
                (design[2 * i, first + 1], design[2 * i + 1, first + 2]) = (-1, -1);
            }

            (left[2 * i], left[2 * i + 1]) = (shiftX - onX, shiftY - onY);
            (groups[2 * i], groups[2 * i + 1]) = (2 * mark.Mark, 2 * mark.Mark + 1);

            double Monomial(int term) => FieldPolynomial.Power(u, exponents[term].U) * FieldPolynomial.Power(v, exponents[term].V);
        }

        try
        {
            return LinearFit.SolveWithMeans(design, left, groups);
        }
        catch (CompileException fault) when (fault.Diagnostic.Code == CalibrationCodes.Undetermined)
        {
            throw Undetermined();
        }
    }

    private CompileException Undetermined() => new(CalibrationCodes.Undetermined, WhatIsMissing(), fix: order > 1 ? "add such a view, or fit a lower order with --order" : "add such a view");

    private string WhatIsMissing()
    {
        bool isTurned = poses.Any(pose => Math.Abs(Math.Sin(pose.Turn - poses[0].Turn)) > LeastTurn);
        (double X, double Y)[] origins = [.. poses.Select(OriginOf)];
        bool isMoved = origins.Any(origin => FieldFitter.Distance(origin.X - origins[0].X, origin.Y - origins[0].Y) > LeastShiftPart * halfField);
        return !isTurned ? "in all views the sample lies the same way round or upside down, so that nothing tells the field's axes apart; one with the sample turned by about 90 degrees would"
            : !isMoved ? "in all views the sample has the same middle, so that what is the same after a quarter turn, such as a pincushion, cannot be seen; one with the sample moved by a fifth of the field would show it"
            : "the views share too few marks, or lie too much alike; more views, turned and moved further, would tell";
    }

    // Where the sample's origin lies in the field.
    private static (double X, double Y) OriginOf((double Turn, double X, double Y) pose)
    {
        (double sine, double cosine) = Math.SinCos(pose.Turn);
        return (cosine * pose.X - sine * pose.Y, sine * pose.X + cosine * pose.Y);
    }

    private FieldPolynomial Polynomial(double scale)
    {
        int terms = FieldPolynomial.TermCount(order);
        double[] x = new double[terms], y = new double[terms];
        (x[FieldFitter.AlongX], y[FieldFitter.AlongY]) = (halfField, halfField);
        for (int i = 0; i < columns.Length; i++)
        {
            x[columns[i].XTerm] += columns[i].X * distortion[i];
            y[columns[i].YTerm] += columns[i].Y * distortion[i];
        }

        return new FieldPolynomial(order, halfField, [.. x.Select(value => value * scale)], [.. y.Select(value => value * scale)]);
    }

    private FieldFit Result(KnownLength? known)
    {
        (double noise, double error) = (Math.Sqrt(fit.Variance), ErrorOverField());
        if (error > LargestError * noise)
        {
            throw Undetermined();
        }

        double scale = known is null ? 1 : known.NanometresOnSample / DistanceOf(known);
        FieldPolynomial polynomial = Polynomial(scale);
        double[] distances = new double[views.Marks.Length], leftOut = new double[views.Marks.Length];
        var residuals = new (double X, double Y)[views.Marks.Length];
        for (int i = 0; i < residuals.Length; i++)
        {
            // What is left is counted in the sample's frame, and drawn in the field's.
            (double x, double y) = (scale * fit.Residuals[2 * i], scale * fit.Residuals[2 * i + 1]);
            (double sine, double cosine) = Math.SinCos(poses[views.Marks[i].View].Turn);
            residuals[i] = (-(cosine * x - sine * y), -(sine * x + cosine * y));
            distances[i] = FieldFitter.Distance(x, y);
            leftOut[i] = scale * FieldFitter.Distance(fit.LeaveOneOutError(2 * i), fit.LeaveOneOutError(2 * i + 1));
        }

        return new FieldFit(
            polynomial,
            [.. Parameters("x", polynomial.XNanometres, scale, column => (column.XTerm, column.X)), .. Parameters("y", polynomial.YNanometres, scale, column => (column.YTerm, column.Y))],
            residuals,
            fit.DegreesOfFreedom,
            FieldFitter.RootMeanSquare(distances),
            distances.Max(),
            FieldFitter.RootMeanSquare(leftOut))
        {
            Poses = new FieldPoses(
                [.. views.Names.Select((name, view) => (name, (poses[view].Turn - poses[0].Turn) * 360 / Math.Tau, scale * OriginOf(poses[view]).X, scale * OriginOf(poses[view]).Y))],
                scale * noise,
                scale * error,
                known is not null),
        };
    }

    private IEnumerable<FitParameter> Parameters(string axis, IReadOnlyList<double> values, double scale, Func<Column, (int Term, double Factor)> part)
    {
        (int U, int V)[] exponents = [.. FieldPolynomial.Exponents(order)];
        for (int term = FieldFitter.AlongX; term < values.Count; term++)
        {
            int column = Enumerable.Range(0, columns.Length).First(i => part(columns[i]) is var (own, factor) && own == term && factor != 0);
            yield return ConfidenceInterval.Symmetric($"{axis}-u{exponents[term].U}v{exponents[term].V}", "nm", values[term], scale * fit.StandardError(column), fit.DegreesOfFreedom);
        }
    }

    /// <summary>Standard error of d along one axis, root mean square over places spread evenly over the field.</summary>
    private double ErrorOverField()
    {
        const int Side = 7;
        (int U, int V)[] exponents = [.. FieldPolynomial.Exponents(order)];
        double sum = 0;
        for (int place = 0; place < Side * Side; place++)
        {
            (double u, double v) = (2.0 * (place % Side) / (Side - 1) - 1, 2.0 * (place / Side) / (Side - 1) - 1);
            double[] x = [.. columns.Select(column => column.X * Monomial(column.XTerm))], y = [.. columns.Select(column => column.Y * Monomial(column.YTerm))];
            for (int i = 0; i < columns.Length; i++)
            {
                for (int j = 0; j < columns.Length; j++)
                {
                    sum += fit.Covariance(i, j) * (x[i] * x[j] + y[i] * y[j]);
                }
            }

            double Monomial(int term) => FieldPolynomial.Power(u, exponents[term].U) * FieldPolynomial.Power(v, exponents[term].V);
        }

        return Math.Sqrt(sum / (2 * Side * Side));
    }

    // On the sample, as the views tell it with the scale of the machine file.
    private double DistanceOf(KnownLength known)
    {
        FieldPolynomial land = Polynomial(1);
        (double ax, double ay) = PlaceOf(known.FromX, known.FromY);
        (double bx, double by) = PlaceOf(known.ToX, known.ToY);
        double distance = FieldFitter.Distance(bx - ax, by - ay);
        double ratio = known.NanometresOnSample / distance;
        return ratio is > FieldFitter.SmallestScale and < FieldFitter.LargestScale
            ? distance
            : throw new CompileException(
                CalibrationCodes.Contradiction,
                $"the known length is {NumberText.Format(Math.Round(ratio, 3))} times as long as the views show it",
                fix: "look for another pair of marks or a wrong unit in --known, or a wrong field in the machine file");

        (double X, double Y) PlaceOf(double drawnX, double drawnY)
        {
            SeenMark[] seen = [.. views.Marks.Where(mark => mark.DrawnX == drawnX && mark.DrawnY == drawnY)];
            if (seen.Length == 0)
            {
                throw new CompileException(
                    CalibrationCodes.BadTable,
                    $"no mark that is drawn at ({NumberText.Format(drawnX / 1000)} um, {NumberText.Format(drawnY / 1000)} um) is seen in two views, and --known names it",
                    fix: "name the drawn places of two marks of the table");
            }

            (double X, double Y)[] places = [.. seen.Select(mark =>
            {
                (double x, double y) = land.Land(mark.SeenX, mark.SeenY);
                (double turn, double shiftX, double shiftY) = poses[mark.View];
                (double sine, double cosine) = Math.SinCos(turn);
                return (cosine * x + sine * y - shiftX, cosine * y - sine * x - shiftY);
            })];
            return (places.Average(place => place.X), places.Average(place => place.Y));
        }
    }
}

/// <summary>A distance on the sample that is known, between two marks that are called by their drawn places.</summary>
internal sealed record KnownLength(double FromX, double FromY, double ToX, double ToY, double NanometresOnSample);
