namespace PatternCompiler.Pictures;

/// <summary>Draws the shapes of a scene inside the plot.</summary>
internal sealed class ShapePainter
{
    /// <summary>Where on a jump its arrow stands, as a part of the way.</summary>
    public const double ArrowPart = 0.55;

    // Beyond these numbers strokes and dots are drawn finer, and arrows would only be clutter.
    private const int ManyLines = 4000;
    private const int ManyJumps = 300;
    private const int MostArrows = 150;
    private const double ShortestArrowedJump = 18;
    private const double ArrowSpacing = 24;
    private const double FinestMovePixels = 0.12;
    private readonly PictureFrame frame;
    private readonly IPictureSurface surface;
    private readonly ViewClip clip;
    private readonly ScreenPath path = new();

    public ShapePainter(PictureFrame frame, IPictureSurface surface)
    {
        this.frame = frame;
        this.surface = surface;
        double margin = 6 * frame.NanometresPerPixel;
        SceneExtent view = frame.View;
        clip = new ViewClip(new SceneExtent(view.Left - margin, view.Bottom - margin, view.Right + margin, view.Top + margin));
    }

    public void Paint(SceneBatch batch)
    {
        path.Clear();
        switch (batch.Role)
        {
            case SceneRole.Area:
                AddRings(batch.Path);
                surface.Fill(path, Palette.Tint(batch.Hue, batch.Tint) with { Alpha = 214 });
                break;
            case SceneRole.Outline:
                AddRings(batch.Path);
                surface.Stroke(path, Palette.Edge(batch.Hue), 1, closed: true);
                break;
            case SceneRole.Line:
                AddSegments(batch.Path);
                surface.Stroke(path, Palette.Tint(batch.Hue, batch.Tint), path.Count > ManyLines ? 1 : 1.5);
                break;
            case SceneRole.Dot:
                AddDots(batch.Path);
                surface.Discs(path, Palette.Tint(batch.Hue, batch.Tint), path.Count switch { > 30_000 => 0.9, > 3000 => 1.5, _ => 2.6 });
                break;
            case SceneRole.Jump:
                PaintJumps(batch.Path, isFaint: batch.Tint < Palette.TintCount);
                break;
            case SceneRole.Start:
                PaintStart(batch.Path);
                break;
            case SceneRole.Finish:
                PaintFinish(batch.Path);
                break;
            case SceneRole.Boundary:
                AddSegments(batch.Path);
                surface.Stroke(path, Palette.FaintInk, 0.8);
                break;
            case SceneRole.Seam:
                AddSegments(batch.Path);
                surface.Stroke(path, Palette.Ink, 1.4, dashed: true);
                break;
            case SceneRole.Alarm:
                AddSegments(batch.Path);
                surface.Stroke(path, Palette.Jump, 2.6);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(batch), batch.Role, "This role has no shapes.");
        }
    }

    /// <summary>An arrow head on a pixel path, pointing from a to b, its tip at the given part of the way.</summary>
    public static void AddArrow(ScreenPath arrows, double ax, double ay, double bx, double by, double part)
    {
        const double Length = 8;
        const double HalfWidth = 3.2;
        double dx = bx - ax;
        double dy = by - ay;
        double norm = Math.Sqrt(dx * dx + dy * dy);
        (dx, dy) = (dx / norm, dy / norm);
        double tipX = ax + part * (bx - ax) + dx * Length / 2;
        double tipY = ay + part * (by - ay) + dy * Length / 2;
        arrows.Add(tipX, tipY);
        arrows.Add(tipX - dx * Length - dy * HalfWidth, tipY - dy * Length + dx * HalfWidth);
        arrows.Add(tipX - dx * Length + dy * HalfWidth, tipY - dy * Length - dx * HalfWidth);
        arrows.EndPart();
    }

    private void PaintJumps(ScenePath jumps, bool isFaint)
    {
        AddWays(jumps);
        var far = new ScreenPath();
        var near = new ScreenPath();
        for (int i = 0; i < path.Count; i++)
        {
            ReadOnlySpan<(float X, float Y)> way = path[i];
            ScreenPath target = LengthOf(way) >= ShortestArrowedJump ? far : near;
            foreach ((float x, float y) in way)
            {
                target.Add(x, y);
            }

            target.EndPart();
        }

        // Many jumps stay faint, so that what lies below them can be seen; a few are seen on any ground by their margin.
        bool areFew = far.Count <= MostArrows;
        if (areFew)
        {
            surface.Stroke(far, Palette.Plot, 3);
        }

        StrokeJumps(near, isFaint || path.Count > ManyJumps);
        StrokeJumps(far, far.Count > ManyJumps);
        if (areFew)
        {
            PaintArrows(far);
        }
    }

    /// <summary>One arrow for each jump; where jumps lie close together, one speaks for its neighbours.</summary>
    private void PaintArrows(ScreenPath jumps)
    {
        var arrows = new ScreenPath();
        var taken = new HashSet<(int, int)>();
        for (int i = 0; i < jumps.Count; i++)
        {
            ReadOnlySpan<(float X, float Y)> way = jumps[i];
            double before = ArrowPart * LengthOf(way);
            int k = 1;
            double length = LengthOf(way[..2]);
            while (before > length && k < way.Length - 1)
            {
                before -= length;
                k++;
                length = LengthOf(way[(k - 1)..(k + 1)]);
            }

            ((float ax, float ay), (float bx, float by)) = (way[k - 1], way[k]);
            double part = before / length;
            if (taken.Add(((int)((ax + part * (bx - ax)) / ArrowSpacing), (int)((ay + part * (by - ay)) / ArrowSpacing))))
            {
                AddArrow(arrows, ax, ay, bx, by, part);
            }
        }

        surface.Stroke(arrows, Palette.Plot, 1.6, closed: true);
        surface.Fill(arrows, Palette.Jump);
    }

    private static double LengthOf(ReadOnlySpan<(float X, float Y)> way)
    {
        double length = 0;
        for (int k = 1; k < way.Length; k++)
        {
            double dx = way[k].X - way[k - 1].X;
            double dy = way[k].Y - way[k - 1].Y;
            length += Math.Sqrt(dx * dx + dy * dy);
        }

        return length;
    }

    private void StrokeJumps(ScreenPath jumps, bool areFaint) =>
        surface.Stroke(jumps, areFaint ? Palette.Jump with { Alpha = 110 } : Palette.Jump, areFaint ? 0.7 : 1, dashed: true);

    private void PaintStart(ScenePath marks)
    {
        AddDots(marks);
        surface.Discs(path, Palette.Ink, 6);
        surface.Discs(path, Palette.Plot, 4.2);
    }

    private void PaintFinish(ScenePath marks)
    {
        AddDots(marks);
        foreach ((float x, float y) in path.Points)
        {
            surface.FillRectangle(Math.Round(x) - 5, Math.Round(y) - 5, 10, 10, Palette.Ink);
            surface.FillRectangle(Math.Round(x) - 3, Math.Round(y) - 3, 6, 6, Palette.Plot);
        }
    }

    private void AddRings(ScenePath rings)
    {
        for (int i = 0; i < rings.Count; i++)
        {
            IReadOnlyList<ScenePoint> ring = clip.ClipRing(rings[i]);
            if (ring.Count < 3)
            {
                continue;
            }

            double lastX = double.NaN;
            double lastY = double.NaN;
            foreach (ScenePoint point in ring)
            {
                double x = frame.PixelX(point.X);
                double y = frame.PixelY(point.Y);
                if (ring.Count > 8 && Math.Abs(x - lastX) < FinestMovePixels && Math.Abs(y - lastY) < FinestMovePixels)
                {
                    continue;
                }

                path.Add(x, y);
                (lastX, lastY) = (x, y);
            }

            path.EndPart();
        }
    }

    private void AddSegments(ScenePath lines)
    {
        for (int i = 0; i < lines.Count; i++)
        {
            ReadOnlySpan<ScenePoint> line = lines[i];
            for (int k = 1; k < line.Length; k++)
            {
                ScenePoint a = line[k - 1];
                ScenePoint b = line[k];
                if (clip.ClipSegment(ref a, ref b))
                {
                    path.Add(frame.PixelX(a.X), frame.PixelY(a.Y));
                    path.Add(frame.PixelX(b.X), frame.PixelY(b.Y));
                    path.EndPart();
                }
            }
        }
    }

    /// <summary>Each line as one part, so that its dashes run on round its corners; several where it leaves the view between.</summary>
    private void AddWays(ScenePath lines)
    {
        for (int i = 0; i < lines.Count; i++)
        {
            ReadOnlySpan<ScenePoint> line = lines[i];
            bool isOpen = false;
            for (int k = 1; k < line.Length; k++)
            {
                ScenePoint a = line[k - 1];
                ScenePoint b = line[k];
                bool isShown = clip.ClipSegment(ref a, ref b);
                if (isOpen && !(isShown && a == line[k - 1]))
                {
                    path.EndPart();
                    isOpen = false;
                }

                if (isShown)
                {
                    if (!isOpen)
                    {
                        path.Add(frame.PixelX(a.X), frame.PixelY(a.Y));
                    }

                    path.Add(frame.PixelX(b.X), frame.PixelY(b.Y));
                    isOpen = true;
                }
            }

            if (isOpen)
            {
                path.EndPart();
            }
        }
    }

    private void AddDots(ScenePath dots)
    {
        for (int i = 0; i < dots.Count; i++)
        {
            ScenePoint dot = dots[i][0];
            if (frame.View.Meets(dot.X, dot.Y, dot.X, dot.Y))
            {
                path.Add(frame.PixelX(dot.X), frame.PixelY(dot.Y));
                path.EndPart();
            }
        }
    }
}
