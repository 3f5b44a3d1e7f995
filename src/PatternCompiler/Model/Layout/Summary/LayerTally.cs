namespace PatternCompiler.Model.Layout.Summary;

/// <summary>Counts of one layer of one cell, copies of other cells included.</summary>
internal sealed class LayerTally
{
    /// <summary>Rectangles, polygons, circles, rings, paths, lines, dots, in this order.</summary>
    public double[] Kinds { get; } = new double[7];

    public double Corners { get; set; }

    public double Unmeasured { get; set; }

    public LayoutExtent Extent { get; set; } = LayoutExtent.Nothing;

    /// <summary>Narrowest place in grid steps.</summary>
    public double SmallestFeature { get; set; } = double.PositiveInfinity;

    public double LowestDose { get; set; } = double.PositiveInfinity;

    public double HighestDose { get; set; } = double.NegativeInfinity;

    /// <summary>Adds a shape of the cell itself.</summary>
    public void Add(Shape shape)
    {
        (int kind, double corners) = shape switch
        {
            RectangleShape => (0, 4),
            PolygonShape polygon => (1, polygon.Contours.PointCount),
            CircleShape => (2, 0),
            RingShape => (3, 0),
            PathShape path => (4, path.Points.Length),
            LineShape line => (5, line.Points.Length),
            _ => (6, 0.0),
        };
        Kinds[kind]++;
        Corners += corners;
        Extent = Extent.With(LayoutExtent.OfShape(shape));
        LowestDose = Math.Min(LowestDose, shape.DoseFactor.Value);
        HighestDose = Math.Max(HighestDose, shape.DoseFactor.Value);
        if (FeatureSize.Of(shape) is double size)
        {
            SmallestFeature = Math.Min(SmallestFeature, size);
        }
        else
        {
            Unmeasured += shape is PolygonShape ? 1 : 0;
        }
    }

    /// <summary>Adds the copies that an instance makes of a cell with these counts.</summary>
    public void Add(Instance instance, LayerTally cell)
    {
        Repetition repetition = instance.Repetition;
        double copies = (double)repetition.Columns * repetition.Rows;
        for (int i = 0; i < Kinds.Length; i++)
        {
            Kinds[i] += copies * cell.Kinds[i];
        }

        Corners += copies * cell.Corners;
        Unmeasured += copies * cell.Unmeasured;
        Extent = Extent.With(LayoutExtent.OfInstance(instance, cell.Extent));
        double scale = Math.Min(Math.Abs(instance.Orientation.ScaleX), Math.Abs(instance.Orientation.ScaleY));
        SmallestFeature = Math.Min(SmallestFeature, scale * cell.SmallestFeature);
        AddDoses(instance, cell);
    }

    private void AddDoses(Instance instance, LayerTally cell)
    {
        Repetition repetition = instance.Repetition;
        double alongColumns = (repetition.Columns - 1.0) * repetition.ColumnDoseStepMillionths * 1e-6;
        double alongRows = (repetition.Rows - 1.0) * repetition.RowDoseStepMillionths * 1e-6;
        double lowest = instance.DoseFactor.Value + Math.Min(0, alongColumns) + Math.Min(0, alongRows);
        double highest = instance.DoseFactor.Value + Math.Max(0, alongColumns) + Math.Max(0, alongRows);
        LowestDose = Math.Min(LowestDose, lowest * cell.LowestDose);
        HighestDose = Math.Max(HighestDose, highest * cell.HighestDose);
    }
}
