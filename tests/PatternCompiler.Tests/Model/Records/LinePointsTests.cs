using CsCheck;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Tests.Model.Records;

public sealed class LinePointsTests
{
    private static readonly Gen<DeflectionRecord> Lines =
        from x in Gen.Int[0, (1 << 24) - 1]
        from y in Gen.Int[0, (1 << 24) - 1]
        from endX in Gen.Int[0, (1 << 24) - 1]
        from endY in Gen.Int[0, (1 << 24) - 1]
        from points in Gen.Int[2, 300]
        from ticks in Gen.Long[0, 1L << 50]
        select DeflectionRecord.Line(x, y, endX, endY, points, ticks);

    [Fact]
    public void Ends_are_exact_and_the_dwells_add_up() => Lines.Sample(
        line =>
        {
            var points = new LinePoint[line.Points];
            return LinePoints.Expand(line, 0, points) == line.Points
                && (points[0].X, points[0].Y) == (line.X, line.Y)
                && (points[^1].X, points[^1].Y) == (line.EndX, line.EndY)
                && points.Sum(p => p.Ticks) == line.Ticks
                && points.Min(p => p.Ticks) == LinePoints.ShortestDwell(line)
                && points.Max(p => p.Ticks) == LinePoints.LongestDwell(line);
        },
        iter: Iterations.Usually(300));

    [Fact]
    public void Every_point_is_the_exact_position_rounded_half_up() => Lines.Sample(
        line =>
        {
            for (int i = 0; i < line.Points; i++)
            {
                decimal exact = line.X + (decimal)i * (line.EndX - line.X) / (line.Points - 1);
                if (LinePoints.At(line, i).X != (int)decimal.Floor(exact + 0.5m))
                {
                    return false;
                }
            }

            return true;
        },
        iter: Iterations.Usually(100));

    [Fact]
    public void Expanding_in_pieces_gives_the_same_points() => Gen.Select(Lines, Gen.Int[1, 40]).Sample(
        (line, piece) =>
        {
            var buffer = new LinePoint[piece];
            int done = 0;
            while (done < line.Points)
            {
                int count = LinePoints.Expand(line, done, buffer);
                for (int i = 0; i < count; i++)
                {
                    if (buffer[i] != LinePoints.At(line, done + i))
                    {
                        return false;
                    }
                }

                done += count;
            }

            return done == line.Points;
        },
        iter: Iterations.Usually(200));

    [Fact]
    public void Ties_round_up_in_both_directions()
    {
        var forward = DeflectionRecord.Line(10, 13, 13, 10, 3, 7);
        Assert.Equal(new LinePoint(10, 13, 2), LinePoints.At(forward, 0));
        Assert.Equal(new LinePoint(12, 12, 2), LinePoints.At(forward, 1));
        Assert.Equal(new LinePoint(13, 10, 3), LinePoints.At(forward, 2));
    }

    [Fact]
    public void A_dot_and_a_line_of_one_point_stand_still()
    {
        Assert.Equal(new LinePoint(5, 6, 70), LinePoints.At(DeflectionRecord.Dot(5, 6, 70), 0));
        Assert.Equal(new LinePoint(5, 6, 70), LinePoints.At(DeflectionRecord.Line(5, 6, 5, 6, 1, 70), 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => LinePoints.At(DeflectionRecord.Dot(5, 6, 70), 1));
    }
}
