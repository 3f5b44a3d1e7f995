namespace PatternCompiler.Reports.Player;

/// <summary>The smallest upright rectangle around what was seen, in nanometres on the pattern.</summary>
internal sealed class PlayerExtent
{
    /// <summary>Nothing was seen.</summary>
    public bool IsEmpty => !(Left <= Right);

    /// <summary>Lowest x.</summary>
    public double Left { get; private set; } = double.PositiveInfinity;

    /// <summary>Lowest y.</summary>
    public double Bottom { get; private set; } = double.PositiveInfinity;

    /// <summary>Highest x.</summary>
    public double Right { get; private set; } = double.NegativeInfinity;

    /// <summary>Highest y.</summary>
    public double Top { get; private set; } = double.NegativeInfinity;

    /// <summary>Takes a place in.</summary>
    public void Widen(double x, double y)
    {
        Left = Math.Min(Left, x);
        Bottom = Math.Min(Bottom, y);
        Right = Math.Max(Right, x);
        Top = Math.Max(Top, y);
    }

    /// <summary>The rectangle around this and another.</summary>
    public PlayerExtent Joined(PlayerExtent? other)
    {
        var both = new PlayerExtent();
        foreach (PlayerExtent? part in (PlayerExtent?[])[this, other])
        {
            if (part is { IsEmpty: false })
            {
                both.Widen(part.Left, part.Bottom);
                both.Widen(part.Right, part.Top);
            }
        }

        return both;
    }
}
