using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>
/// Puts repeated objects in their places. Regular arrays stay arrays: a repeated shape becomes a cell of its own, placed as an
/// array. Only a few copies, and those at irregular distances, are written out.
/// </summary>
internal sealed class OasisCopies(OasisBytes bytes, OasisShapes shapes, WorkLimits limits)
{
    private const int FewCopies = 16;

    // More than this, and more than one for each byte of the file, come only from lists that are called for again and again.
    private const long MostWrittenOut = 4_000_000;

    private readonly PlacementBudget placements = new(limits);
    private long writtenOut;

    /// <summary>Cells made of repeated shapes.</summary>
    public List<OasisCell> Cells { get; } = [];

    /// <summary>Places a cell.</summary>
    public void Place(OasisCell owner, OasisCellKey key, Orientation orientation, OasisVector at, OasisRepetition repetition)
    {
        if (repetition.Displacements is { } displacements)
        {
            Count(displacements.Length);
            foreach (OasisVector displacement in displacements)
            {
                Add(shapes.Point(at + displacement), Repetition.Once, default);
            }

            return;
        }

        var steps = new ArraySteps(shapes.Plane(at), repetition.Columns, repetition.Rows, shapes.Plane(repetition.ColumnStep), shapes.Plane(repetition.RowStep));
        if (!steps.FitsGrid)
        {
            throw shapes.OutOfRange();
        }

        if (!placements.TryTake(steps))
        {
            throw TooMany(placements.Fault(repetition.Columns, repetition.Rows));
        }

        foreach ((Geometry.GridPoint origin, Repetition kept, ArrayElement element) in steps.Placements())
        {
            Add(origin, kept, element);
        }

        void Add(Geometry.GridPoint origin, Repetition kept, ArrayElement element) =>
            owner.Instances.Add((key, new Instance("", origin, orientation, kept, DoseFactor.One) { Place = shapes.Here, Element = element }, bytes.Position));
    }

    /// <summary>Adds a shape at all places of its repetition; false if it has nothing to expose.</summary>
    /// <param name="owner">The cell.</param>
    /// <param name="at">First place.</param>
    /// <param name="repetition">How it is repeated.</param>
    /// <param name="make">Makes the shape at a place, or null.</param>
    public bool Draw(OasisCell owner, OasisVector at, OasisRepetition repetition, Func<OasisVector, Shape?> make)
    {
        if (repetition.Displacements is null && repetition.Count > FewCopies)
        {
            // Names of the file hold no blanks: this one is free.
            var cell = new OasisCell(new($"repeated shape {Cells.Count + 1}", -1), bytes.Position);
            if (make(default) is not { } shape)
            {
                return false;
            }

            cell.Shapes.Add(shape);
            Cells.Add(cell);
            Place(owner, cell.Key, Orientation.Identity, at, repetition);
            return true;
        }

        Count(repetition.Count > 1 ? repetition.Count : 0);
        bool isDrawn = false;
        foreach (OasisVector displacement in repetition.Displacements ?? Regular(repetition))
        {
            if (make(at + displacement) is { } shape)
            {
                owner.Shapes.Add(shape);
                isDrawn = true;
            }
        }

        return isDrawn;
    }

    private static OasisVector[] Regular(OasisRepetition repetition)
    {
        var places = new OasisVector[repetition.Count];
        for (int j = 0, i = 0; j < repetition.Rows; j++)
        {
            for (int k = 0; k < repetition.Columns; k++)
            {
                places[i++] = (k * repetition.ColumnStep) + (j * repetition.RowStep);
            }
        }

        return places;
    }

    private void Count(long copies)
    {
        writtenOut += copies;
        if (writtenOut > MostWrittenOut + bytes.Position)
        {
            throw TooMany($"more than {MostWrittenOut} copies at irregular distances, and than bytes in the file");
        }
    }

    private CompileException TooMany(string message) => new(OasisCodes.TooMany, message, bytes.PlaceAt(bytes.Position), "place a cell in regular arrays");
}
