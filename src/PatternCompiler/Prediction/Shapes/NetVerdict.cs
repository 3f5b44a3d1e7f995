using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>What becomes of a net in print.</summary>
/// <param name="Name">The net.</param>
/// <param name="Parts">Printed areas that its points lie on; one if it holds together.</param>
/// <param name="BarePoints">Points on which nothing prints.</param>
/// <param name="JoinedWith">Nets that print in one with it.</param>
internal sealed record NetVerdict(string Name, int Parts, int BarePoints, ImmutableArray<string> JoinedWith)
{
    /// <summary>It holds together and stands apart.</summary>
    public bool IsSound => Parts == 1 && BarePoints == 0 && JoinedWith.IsEmpty;
}
