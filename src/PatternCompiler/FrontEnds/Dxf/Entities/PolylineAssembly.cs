using PatternCompiler.FrontEnds.Dxf.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>What LWPOLYLINE and POLYLINE have in common: corners with bulges and widths, made into one outline.</summary>
internal sealed class PolylineAssembly
{
    private readonly List<BulgeVertex> vertices = [];
    private readonly List<(double Start, double End)> widths = [];

    /// <summary>Number of corners so far.</summary>
    public int Count => vertices.Count;

    /// <summary>Forgets everything.</summary>
    public void Clear()
    {
        vertices.Clear();
        widths.Clear();
    }

    /// <summary>Adds a corner; the widths are those of the line or arc that starts in it.</summary>
    public void Add(BulgeVertex vertex, double startWidth, double endWidth)
    {
        if ((startWidth != 0 || endWidth != 0) && widths.Count == 0)
        {
            // Widths are rare: they are only kept from the first one on.
            widths.AddRange(Enumerable.Repeat((0.0, 0.0), vertices.Count));
        }

        vertices.Add(vertex);
        if (widths.Count > 0 || startWidth != 0 || endWidth != 0)
        {
            widths.Add((startWidth, endWidth));
        }
    }

    /// <summary>The outline. An open polyline that ends in its first corner counts as closed.</summary>
    public DxfEntity? ToEntity(EntityHeader header, bool closed, out string? ignoredBecause)
    {
        ignoredBecause = null;
        if (!closed && vertices.Count > 2 && vertices[^1].Point == vertices[0].Point)
        {
            closed = true;
            vertices.RemoveAt(vertices.Count - 1);
            if (widths.Count > 0)
            {
                widths.RemoveAt(widths.Count - 1);
            }
        }

        int lines = closed ? vertices.Count : vertices.Count - 1;
        double width = widths.Count == 0 ? 0 : widths[0].Start;
        bool varies = false;
        for (int i = 0; i < Math.Min(lines, widths.Count); i++)
        {
            varies |= widths[i].Start != width || widths[i].End != width;
        }

        if (vertices.Count < 2)
        {
            ignoredBecause = "fewer than two corners";
            return null;
        }

        BulgeVertex[] corners = [.. vertices];
        if (header.IsMirrored)
        {
            for (int i = 0; i < corners.Length; i++)
            {
                corners[i] = corners[i].Mirrored();
            }
        }

        return varies
            ? new TaperedEntity(header.Origin, corners, [.. widths], closed)
            : new OutlineEntity(header.Origin, new BulgeCurve(corners, closed), width);
    }
}
