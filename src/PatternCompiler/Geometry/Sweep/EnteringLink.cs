using PatternCompiler.Geometry;

namespace PatternCompiler.Geometry.Sweep;

/// <summary>A link that reaches into a band from below.</summary>
internal readonly record struct EnteringLink(GridPoint Lower, GridPoint Upper, int UpperVertex, long Weight)
{
    /// <summary>
    /// The links from vertices before <paramref name="vertex"/>, the first on its grid line, to this or later vertices,
    /// from left to right as they are half a step below that line. Coinciding links are added up.
    /// </summary>
    public static List<EnteringLink> Collect(Arrangement arrangement, int vertex)
    {
        var links = new List<EnteringLink>();
        int[] starts = arrangement.LinkStarts, uppers = arrangement.LinkUppers;
        int end = starts[vertex];
        int lower = 0;
        for (int i = 0; i < end; i++)
        {
            int upper = uppers[i];
            if (upper >= vertex)
            {
                while (starts[lower + 1] <= i)
                {
                    lower++;
                }

                long weight = arrangement.Edges[arrangement.LinkEdges[i]].Weight.Packed;
                links.Add(new EnteringLink(
                    new(arrangement.X(lower), arrangement.Y(lower)), new(arrangement.X(upper), arrangement.Y(upper)), upper, weight));
            }
        }

        if (links.Count > 0)
        {
            long twiceY = (2L * arrangement.Y(vertex)) - 1;
            links.Sort((a, b) => CompareAt(a, b, twiceY));
            AddUp(links);
        }

        return links;
    }

    private static int CompareAt(in EnteringLink a, in EnteringLink b, long twiceY)
    {
        // Links do not cross, so two distinct ones differ at every height strictly between grid lines.
        a.At(twiceY, out Int128 xa, out long heightA);
        b.At(twiceY, out Int128 xb, out long heightB);
        return (xa * heightB).CompareTo(xb * heightA);
    }

    private static void AddUp(List<EnteringLink> links)
    {
        int kept = 0;
        for (int i = 0; i < links.Count;)
        {
            EnteringLink link = links[i];
            long weight = 0;
            for (; i < links.Count && links[i].Lower == link.Lower && links[i].Upper == link.Upper; i++)
            {
                weight += links[i].Weight;
            }

            if (weight != 0)
            {
                links[kept++] = link with { Weight = weight };
            }
        }

        links.RemoveRange(kept, links.Count - kept);
    }

    /// <summary>Twice x at a height, as a numerator over the link's height.</summary>
    private void At(long twiceY, out Int128 numerator, out long height)
    {
        height = (long)Upper.Y - Lower.Y;
        numerator = ((Int128)(2L * Lower.X) * height) + ((Int128)((long)Upper.X - Lower.X) * (twiceY - (2L * Lower.Y)));
    }
}
